package postal

// Slips counts the slips of the pen between two words: a letter too many, one missing, a wrong one, or two exchanged
// (Damerau 1964, doi 10.1145/363958.363994, counting no letter twice). ok is false when there are more than most.
func Slips(a, b string, most int) (slips int, ok bool) {
	x, y := []rune(a), []rune(b)
	if len(x)-len(y) > most || len(y)-len(x) > most {
		return 0, false
	}
	// Three rows of the table: before last, last, and the one being filled, each only as far from the diagonal as most.
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j], row[j], before[j] = j, most+1, most+1
	}
	for i := 1; i <= len(x); i++ {
		from, to := max(1, i-most), min(len(y), i+most)
		row[from-1] = most + 1
		if from == 1 {
			row[0] = i
		}
		least := row[from-1]
		for j := from; j <= to; j++ {
			wrong := 1
			if x[i-1] == y[j-1] {
				wrong = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+wrong)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
			least = min(least, row[j])
		}
		if to < len(y) {
			row[to+1] = most + 1
		}
		if least > most {
			return 0, false
		}
		before, last, row = last, row, before
	}
	return last[len(y)], last[len(y)] <= most
}

// Forgiven is how many slips are let pass in a word: none in a short one, where a slip makes another word.
func Forgiven(word string) int {
	switch n := len(word); {
	case n < 4:
		return 0
	case n < 8:
		return 1
	}
	return 2
}
