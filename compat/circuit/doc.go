// Package circuit computes the currents and voltages of a firing line: a
// battery (or a charged capacitor), a controller, a firing lead of two
// conductors and one or more igniters in parallel or in series.
//
// It answers for the nominal case and for the corners that matter (the least
// current through one igniter, the lowest supply, the greatest current), what
// an ohm meter reads, how long an igniter takes to fire, and the inverse
// questions: the longest lead, the thinnest wire, the most igniters and the
// lowest battery voltage that still give what is needed.
//
// Sources: Ohm's and Kirchhoff's laws; copper wire after ASTM B258 and
// IEC 60028 (see wire.go). The figures are checked against an independent
// circuit simulator (testdata/ngspice).
//
// Limits: direct current at rest, no inductance; a battery is a voltage behind
// one resistance; a controller is one resistance and one fixed drop; a bridge
// keeps its resistance while it heats; copper's resistance is linear in
// temperature. Igniters are the only thing with a tolerance.
//
// A Network is used as given: call Check once where the figures come from
// outside. Everything Check lets pass gives finite answers.
//
// The package is pure: it reads no file and no clock. It imports nothing but
// errors, fmt, math and sort, and must not import any package of the module,
// so that it can be used alone; a test holds it to that.
package circuit
