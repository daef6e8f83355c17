// Package crew is what the phone of a crew needs: its day with everything to work by without signal, and the door
// through which facts from the field come in. Facts are never refused for being late, repeated or surprising.
package crew
