// Package damage spoils good plans, to test that they are refused. Damage makes one named, lifelike damage: it picks a
// visit for which it breaks that rule and no other, and states all the rest of the plan truly again. Mutate changes one
// random value of a plan's JSON.
//
// Whether a rule is broken is decided here, from the book, and not by asking the checker, which is only asked to name no
// other rule.
package damage
