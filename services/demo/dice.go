package demo

import (
	"hash/fnv"
	"math/rand/v2"
)

// dice is one stream of chance. Each part of the county has its own, so that a change in one part leaves the others.
type dice struct{ *rand.Rand }

func newDice(seed uint64, part string) dice {
	h := fnv.New64a()
	h.Write([]byte(part))
	return dice{rand.New(rand.NewPCG(seed, h.Sum64()))}
}

func (d dice) chance(p float64) bool { return d.Float64() < p }

// between gives low to high, both included.
func (d dice) between(low, high int) int { return low + d.IntN(high-low+1) }

func pick[T any](d dice, from []T) T { return from[d.IntN(len(from))] }

func shuffled[T any](d dice, from []T) []T {
	list := append([]T(nil), from...)
	d.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

// weighted picks an index in proportion to its weight.
func weighted(d dice, n int, weight func(i int) int) int {
	total := 0
	for i := range n {
		total += weight(i)
	}
	at := d.IntN(total)
	for i := range n {
		if at -= weight(i); at < 0 {
			return i
		}
	}
	return n - 1
}
