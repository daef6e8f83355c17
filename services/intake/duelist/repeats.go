package duelist

import (
	"fmt"
	"strings"
)

// markRepeats finds rows that say the same, numbers that name more than one assembly, and serials that are
// equal or look alike. Only a row that names its assembly can be passed over as a repeat: two rows that say
// nothing but "DC, 3/4 in, Oak Street 12" may be two assemblies.
func markRepeats(m Mapping, drafts []*draft) {
	var read []*draft
	for _, d := range drafts {
		if len(d.faults) == 0 && !d.joined {
			read = append(read, d)
		}
	}
	sameRow(m, read)
	sameNumber(m, read)
	sameSerial(m, read)
}

func sameRow(m Mapping, read []*draft) {
	seen := map[string][]*draft{}
	for _, d := range read {
		key := d.row.RowKey
		earlier := seen[key]
		seen[key] = append(earlier, d)
		if len(earlier) == 0 {
			continue
		}
		first := earlier[0].row.Line()
		if d.row.Number != "" || d.row.Main.SerialKey != "" {
			d.repeat = first
			continue
		}
		d.row.RowKey = fmt.Sprintf("%s-%d", key, len(earlier)+1)
		f := d.row.fault(m, 0, "", fmt.Sprintf("says the same as row %d and has no number or serial; taken as another assembly", first), "take one out if they are one")
		f.Question = true
		d.warn(f)
	}
}

func sameNumber(m Mapping, read []*draft) {
	for _, group := range grouped(read, func(d *draft) string { return plainKey(d.row.Number) }) {
		for i, d := range group {
			d.row.NumberRepeated = true
			f := d.row.fault(m, m.Col(FieldNumber), d.row.Number, fmt.Sprintf("is also the number of row %d, so it does not tell which assembly this is", other(group, i).row.Line()),
				"ask the purveyor for a number for each assembly; if the column is an account, say so")
			f.Question = true
			d.warn(f)
		}
	}
}

func sameSerial(m Mapping, read []*draft) {
	for _, group := range grouped(read, func(d *draft) string { return d.row.Main.SerialKey }) {
		for i, d := range group {
			o := other(group, i)
			problem := fmt.Sprintf("is also the serial of row %d", o.row.Line())
			if !strings.EqualFold(d.row.Main.Serial, o.row.Main.Serial) {
				problem = fmt.Sprintf("looks like %s on row %d (O and 0, I and 1 are easily mixed up)", o.row.Main.Serial, o.row.Line())
			}
			f := d.row.fault(m, m.Col(FieldSerial), d.row.Main.Serial, problem, "read both off the units at the next visit")
			f.Question = true
			d.warn(f)
		}
	}
}

// grouped gives the groups of two or more rows with one key, in order of their first row.
func grouped(read []*draft, keyOf func(*draft) string) [][]*draft {
	j := joiner{}
	for _, d := range read {
		if d.repeat == 0 {
			j.drafts = append(j.drafts, d)
		}
	}
	var out [][]*draft
	for _, group := range j.groups(keyOf) {
		if len(group) > 1 {
			out = append(out, group)
		}
	}
	return out
}

// other is the first of the group that is not the i-th.
func other(group []*draft, i int) *draft {
	if i == 0 {
		return group[1]
	}
	return group[0]
}
