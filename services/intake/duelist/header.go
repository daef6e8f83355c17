package duelist

import "valveround/services/intake/sheet"

// headerSearchRows is how far down a header may stand below titles.
const headerSearchRows = 60

// findHeader gives the index of the header line, or -1. It is the row with the most different fields
// recognised, at least two, and with most of its filled cells recognised or at least textual.
func findHeader(table sheet.Table) int {
	best, bestScore := -1, 1
	for i := range min(len(table.Rows), headerSearchRows) {
		if score := headerScore(table.Rows[i]); score > bestScore {
			best, bestScore = i, score
		}
	}
	return best
}

func headerScore(row []sheet.Cell) int {
	found := map[Field]bool{}
	filled, known := 0, 0
	for _, c := range row {
		if c.Blank() {
			continue
		}
		filled++
		if c.Number != nil {
			continue
		}
		if field, _ := fieldOf(c.Text); field != "" && len(c.Text) <= 60 {
			known++
			found[field] = true
		}
	}
	if known*2 < filled {
		return 0
	}
	return len(found)
}

// repeatsHeader says that a row is the header again: page breaks of printed reports leave such rows.
func repeatsHeader(header, row []sheet.Cell) bool {
	filled, same := 0, 0
	for i, c := range header {
		key := headerKey(c.Text)
		if key == "" || key == "problem" {
			continue
		}
		filled++
		if i < len(row) && headerKey(row[i].Text) == key {
			same++
		}
	}
	return same >= 2 && same*10 >= filled*6
}
