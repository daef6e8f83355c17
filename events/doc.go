// Package events is the vocabulary and the domain: what can happen to an assembly, a site, a feed, a day,
// a crew, and what is owed because of it. It also holds what a field test means: assembly types, readings
// kept as they were read, pass criteria as data, and the clocks that start when a test fails.
//
// Numbers that a rule of some place fixes are data with their source beside them, never constants in code;
// where no rule is known the strictest published one is used, or the answer is "not known: ask".
// The certified procedure, the purveyor's rules and local code always come first.
package events
