// Package pack packs the range box for a launch day: which lot serves which
// ignition point of which flight, how many spares to carry, and what the
// ledger's outcomes say of an igniter type.
//
// Spares: success of an igniter type on a family is a Beta prior (ours) updated
// with what fired and what did not; the chance that enough of n fire is the
// beta-binomial predictive, summed by the trial at which the last one needed
// fires, all terms positive, by logarithms of the gamma function. Also the plain
// binomial of it, the exact (Clopper-Pearson) interval and the success run.
//
// Packing: flights come in the order in which they matter. A flight is taken if
// all it needs can be served together with the flights taken before (augmenting
// paths; where igniters of one cluster must be of one type, a search over the
// types, each node a flow). One minimum-cost flow over the flights taken then
// says what serves what: fewest cautions, earliest expiry first, then igniters
// that many motor types of the box can use before those that only few can, then
// handle and lot. What is left serves the incomplete flights as far as it goes.
// The answer does not depend on the order in which lots, needs or candidates
// are given, only on the order of the flights.
//
// Sources: successive shortest paths with potentials (Edmonds and Karp 1972,
// Tomizawa 1971; memory). That one order of lots serves all levels of the cost
// at once: a minimum-cost flow that covers every need uses a base of a matroid
// of pieces (Dress and Wenzel 1992; memory), on which the greedy choice is best
// for every weight that keeps the order; checked against exhaustive search.
//
// Limits: the types of clusters are searched exactly within an effort that is
// counted in steps, not in time, so that the answer is the same everywhere;
// beyond it the best packing found stands and Plan.Exact is false. Whether a lot
// may serve a point is the caller's word and does not depend on which lot
// serves another point. Flights fly one after another: what comes back after a
// flight serves the next one.
//
// The package is pure: no I/O, no clock. It imports the standard library only
// and must not import any package of the module, so that it can be used alone; a
// test holds it to that.
package pack
