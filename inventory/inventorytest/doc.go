// Package inventorytest makes random records for property tests, and checks the
// laws of who may import whom. It is imported from tests only.
//
// The generator walks through the field tables of package inventory, so that a
// new field is generated without a line here. Only the rules that several fields
// share (a curve whose times rise, a void that names its target) are known by
// name, in mend.go.
package inventorytest
