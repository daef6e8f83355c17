package damage

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"time"

	"valveround/planner"
)

// Mutate changes one random value anywhere in a plan's JSON to another of its kind, and says which and how:
// "routes[2].visits[0].drive_s: 612 became 613". The plan given is not changed. Lists keep their lengths. About some
// values a checker cannot know better; see Unknowable.
func Mutate(p planner.Plan, r *rand.Rand) (planner.Plan, string) {
	before, err := json.Marshal(p)
	if err != nil {
		panic(fmt.Sprintf("a plan is plain data: %v", err))
	}
	for {
		tree := decodeTree(before)
		leaves := leavesOf(tree, "", nil)
		leaf := leaves[r.IntN(len(leaves))]
		value := changed(leaf.value, r)
		leaf.set(value)
		after, err := json.Marshal(tree)
		if err != nil {
			panic(fmt.Sprintf("a plan's tree is plain data: %v", err))
		}
		mutant, err := planner.ReadPlan(bytes.NewReader(after))
		if err != nil {
			continue // not a plan any more, which its reader has said
		}
		if mutant.Digest() != p.Digest() {
			return mutant, fmt.Sprintf("%s: %v became %v", leaf.path, leaf.value, value)
		}
	}
}

// unknowable are the paths of values that are for people to read, or that only the planner can know.
var unknowable = regexp.MustCompile(`^(made_at|position|left_out\[\d+\]\.(reason|rule|change|visit|remedy\..+)|` +
	`routes\[\d+\]\.visits\[\d+\]\.(key|hold|notes\[\d+\])):`)

// Unknowable reports whether a mutation, as Mutate says it, is of a value about which plan, book and settings may leave a
// checker no way to know better: when and at which position of the log the plan was made, keys, holds and words. Many
// such mutations are refused all the same.
func Unknowable(what string) bool { return unknowable.MatchString(what) }

func decodeTree(text []byte) any {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	var tree any
	if err := dec.Decode(&tree); err != nil {
		panic(fmt.Sprintf("decode what was just encoded: %v", err))
	}
	return tree
}

// leaf is one value of the tree and how to replace it.
type leaf struct {
	path  string
	value any
	set   func(any)
}

// leavesOf collects the values under a node, in an order that is always the same.
func leavesOf(node any, path string, set func(any)) []leaf {
	var leaves []leaf
	switch n := node.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(n)) {
			sub := key
			if path != "" {
				sub = path + "." + key
			}
			leaves = append(leaves, leavesOf(n[key], sub, func(v any) { n[key] = v })...)
		}
	case []any:
		for i := range n {
			leaves = append(leaves, leavesOf(n[i], fmt.Sprintf("%s[%d]", path, i), func(v any) { n[i] = v })...)
		}
	case nil: // a list that is empty: there is nothing in it to change
	default:
		leaves = append(leaves, leaf{path, node, set})
	}
	return leaves
}

func changed(value any, r *rand.Rand) any {
	switch v := value.(type) {
	case bool:
		return !v
	case json.Number:
		return changedNumber(v, r)
	case string:
		return changedText(v, r)
	}
	return value
}

func changedNumber(n json.Number, r *rand.Rand) json.Number {
	if whole, err := strconv.ParseInt(n.String(), 10, 64); err == nil {
		others := []int64{whole + 1, whole - 1, whole + 60, whole - 60, 2*whole + 1, 0, -whole}
		return json.Number(strconv.FormatInt(others[r.IntN(len(others))], 10))
	}
	x, err := n.Float64()
	if err != nil {
		return "0"
	}
	others := []float64{x + 1, x * 1.01, x / 2, 0, -x}
	return json.Number(strconv.FormatFloat(others[r.IntN(len(others))], 'g', -1, 64))
}

func changedText(text string, r *rand.Rand) string {
	if t, err := time.Parse(time.RFC3339Nano, text); err == nil {
		steps := []time.Duration{time.Second, time.Minute, 15 * time.Minute, time.Hour, 24 * time.Hour, time.Millisecond}
		step := steps[r.IntN(len(steps))]
		if r.IntN(2) == 0 {
			step = -step
		}
		return t.Add(step).Format(time.RFC3339Nano)
	}
	if t, err := time.Parse(time.DateOnly, text); err == nil {
		return t.AddDate(0, 0, []int{-7, -1, 1, 7}[r.IntN(4)]).Format(time.DateOnly)
	}
	at := r.IntN(len(text) + 1)
	switch {
	case text == "" || r.IntN(3) == 0:
		return text[:at] + string(rune('a'+r.IntN(26))) + text[at:]
	case r.IntN(3) == 0:
		return ""
	}
	return text[:at/2] + text[at/2+1:]
}
