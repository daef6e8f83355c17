package duelist

import (
	"fmt"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// partKind is what a row says about being one part of a detector assembly.
type partKind int

const (
	wholeRow    partKind = iota // it says nothing
	mainRow                     // its type or part column says main
	bypassRow                   // its type or part column says bypass
	bypassNoted                 // only place or notes say bypass, which may be another thing
)

// A detector assembly is a mainline assembly with a small metered bypass that holds one of its own. Lists
// give it one row with bypass columns, or two rows. Two rows become one Row when number or address leave no
// doubt which main a bypass belongs to; else all rows concerned are rejected with the question, so that the
// file of rejected rows holds both halves. Mainlines are usually 4 to 10 in and bypasses 1/2 or 3/4 in
// (a published article on Type II detector assemblies, 2021).
func joinDetectors(m Mapping, drafts []*draft) {
	j := joiner{m: m}
	for _, d := range drafts {
		if len(d.cells) > 0 {
			j.drafts = append(j.drafts, d)
		}
	}
	j.byNumber()
	j.byAddress()
	for _, d := range j.drafts {
		if d.with != nil {
			j.merge(d, d.with)
		}
	}
}

type joiner struct {
	m      Mapping
	drafts []*draft
}

// A bypass is at most this large, and a main at least that.
var (
	maxBypass = events.InchSize(2, 0)
	minMain   = events.InchSize(2, 4)
)

// small says that a detector assembly's row has the size of a bypass although it does not say that it is one.
func small(d *draft) bool {
	return d.part == wholeRow && d.row.Type.IsDetector() && d.row.Bypass == nil && d.row.Main.Size > 0 && d.row.Main.Size <= maxBypass
}

func isBypass(d *draft) bool {
	return !d.joined && (d.part == bypassRow || d.part == bypassNoted || small(d))
}

func isMain(d *draft) bool {
	return d.row.Type.IsDetector() && d.with == nil && d.row.Bypass == nil && !isBypass(d) && !d.joined
}

// smaller says that both sizes are known and b's is smaller.
func smaller(b, main *draft) bool {
	return b.row.Main.Size > 0 && b.row.Main.Size < main.row.Main.Size
}

// byNumber joins where exactly one main and one bypass share the purveyor's number.
func (j *joiner) byNumber() {
	for _, group := range j.groups(func(d *draft) string { return plainKey(d.row.Number) }) {
		mains, bypasses := split(group)
		if len(mains) == 1 && len(bypasses) == 1 && len(group) == 2 && (bypasses[0].part == bypassRow || smaller(bypasses[0], mains[0])) {
			join(mains[0], bypasses[0])
		}
	}
}

// byAddress joins what is alone at an address, or stands in strict turn: main, its bypass, main, its bypass.
func (j *joiner) byAddress() {
	addressOf := func(d *draft) string {
		if d.row.Address == "" {
			return ""
		}
		return plainKey(d.row.Address + "\n" + d.row.City)
	}
	for _, group := range j.groups(addressOf) {
		mains, bypasses := split(group)
		if len(bypasses) == 0 {
			continue
		}
		if len(mains) == 0 {
			j.withoutMain(group, bypasses)
			continue
		}
		sure := !slices.ContainsFunc(bypasses, func(b *draft) bool {
			return b.part != bypassRow && (b.part != bypassNoted || len(mains) != 1 || !smaller(b, mains[0]))
		})
		switch {
		case sure && len(mains) == 1 && len(bypasses) == 1:
			join(mains[0], bypasses[0])
		case sure && inTurn(mains, bypasses):
			for i := range mains {
				join(mains[i], bypasses[i])
			}
		default:
			j.uncertain(slices.Concat(mains, bypasses))
		}
	}
	for _, d := range j.drafts {
		if d.part == bypassRow && !d.joined && d.row.Address == "" && len(d.faults) == 0 {
			d.ask(d.row.fault(j.m, 0, "", "is the bypass of a detector assembly, and nothing says of which", "give it the number or the address of its main"))
		}
	}
}

// withoutMain deals with bypass rows at an address without a detector assembly they could belong to.
func (j *joiner) withoutMain(group, bypasses []*draft) {
	for _, b := range bypasses {
		switch b.part {
		case bypassRow:
			b.ask(b.row.fault(j.m, j.m.Col(FieldType), b.cells[FieldType].Shown(), "is a bypass, and no detector assembly at this address lacks one",
				"say in the main's row that it is a DCDA or RPDA, or give both rows the same number"))
			for _, d := range group {
				if !isBypass(d) && !d.joined && d.with == nil && d.row.Bypass == nil && d.row.Main.Size >= minMain && (d.row.Type == events.DC || d.row.Type == events.RP) {
					d.ask(d.row.fault(j.m, j.m.Col(FieldType), d.cells[FieldType].Shown(),
						fmt.Sprintf("may be the main of the bypass on row %d", b.row.Line()), "say DCDA or RPDA if it is"))
				}
			}
		case wholeRow:
			f := b.row.fault(j.m, j.m.Col(FieldSize), b.cells[FieldSize].Shown(), fmt.Sprintf("is small for a %s", b.row.Type), "ask whether this is the bypass of one, or the size is wrong")
			f.Question = true
			b.warn(f)
		}
	}
}

// uncertain rejects all rows of a puzzle together.
func (j *joiner) uncertain(group []*draft) {
	slices.SortFunc(group, func(a, b *draft) int { return a.index - b.index })
	var lines []string
	for _, d := range group {
		lines = append(lines, fmt.Sprint(d.row.Line()))
	}
	for _, d := range group {
		d.ask(d.row.fault(j.m, 0, "", "rows "+strings.Join(lines, ", ")+" at one address are mains and bypasses of detector assemblies, and which belong together is not sure",
			"give each main and its bypass the same number and write \"bypass\" beside the bypass's type; take out what is no detector assembly"))
	}
}

// groups gathers the drafts by a key, in order; drafts without a key are in none.
func (j *joiner) groups(keyOf func(*draft) string) [][]*draft {
	at := map[string]int{}
	var groups [][]*draft
	for _, d := range j.drafts {
		key := keyOf(d)
		if key == "" {
			continue
		}
		i, ok := at[key]
		if !ok {
			i = len(groups)
			at[key] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], d)
	}
	return groups
}

func split(group []*draft) (mains, bypasses []*draft) {
	for _, d := range group {
		switch {
		case isBypass(d):
			bypasses = append(bypasses, d)
		case isMain(d):
			mains = append(mains, d)
		}
	}
	return mains, bypasses
}

// inTurn says that each bypass stands right below its main.
func inTurn(mains, bypasses []*draft) bool {
	if len(mains) != len(bypasses) {
		return false
	}
	for i := range mains {
		if bypasses[i].index != mains[i].index+1 {
			return false
		}
	}
	return true
}

func join(main, bypass *draft) { main.with, bypass.joined = bypass, true }

// merge makes one row of main and bypass. If one half is rejected, so is the other: they are mended together.
func (j *joiner) merge(main, bypass *draft) {
	if len(main.faults) > 0 || len(bypass.faults) > 0 {
		j.rejectBoth(main, bypass)
		return
	}
	part := bypass.row.Main
	if plainKey(bypass.row.Number) != plainKey(main.row.Number) {
		part.Number = bypass.row.Number
	}
	main.row.Bypass = &part
	main.row.Lines = append(main.row.Lines, bypass.row.Lines...)
	slices.Sort(main.row.Lines[1:])
	main.row.RowKey = keyOf(main.row.texts, bypass.row.texts)
	main.warnings = append(main.warnings, bypass.warnings...)
	j.earlierDue(main, bypass)
	if bypass.part != bypassRow {
		main.warn(bypass.row.fault(j.m, 0, "", fmt.Sprintf("is read as the bypass of row %d: same place, smaller, and nothing else it could be", main.row.Line()), "say so if it is an assembly of its own"))
	}
}

func (j *joiner) rejectBoth(main, bypass *draft) {
	for d, other := range map[*draft]*draft{main: bypass, bypass: main} {
		if len(d.faults) == 0 {
			d.reject(d.row.fault(j.m, 0, "", fmt.Sprintf("belongs to row %d, which was rejected", other.row.Line()), "mend that row; keep the two together"))
		}
	}
}

// earlierDue takes the earlier of two due dates.
func (j *joiner) earlierDue(main, bypass *draft) {
	a, b := main.row.Due, bypass.row.Due
	main.row.Overdue = main.row.Overdue || bypass.row.Overdue
	switch {
	case b.IsZero() || a == b:
		return
	case a.IsZero():
		main.row.Due = b
	case b.Before(a):
		main.row.Due = b
		fallthrough
	default:
		main.warn(bypass.row.fault(j.m, j.m.Col(FieldDue), b.String(), fmt.Sprintf("differs from the main's due date %s; the earlier one counts", a), "ask which is right"))
	}
}

// partOf reads whether a row says that it is the main or the bypass.
func partOf(cells map[Field]sheet.Cell) partKind {
	part := words(cells[FieldPart].Text)
	typed := cells[FieldType].Text
	typedMain := hasPhrase(words(typed), "main|mainline")
	switch {
	case hasPhrase(part, "main bypass") || typedMain && bypassWord(typed): // both parts on one row
		return wholeRow
	case hasPhrase(part, "bypass|by pass|bp|b"):
		return bypassRow
	case hasPhrase(part, "main|mainline|m"):
		return mainRow
	case bypassWord(typed):
		return bypassRow
	case typedMain:
		return mainRow
	case bypassWord(cells[FieldPlace].Text) || bypassWord(cells[FieldNotes].Text):
		return bypassNoted
	}
	return wholeRow
}

// withoutPartWords takes main and bypass out of a type, so that "DCDA (bypass)" reads as DCDA.
func withoutPartWords(typed string) string {
	fields := strings.Fields(strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(typed), "by-pass", "bypass"), "/", " / "))
	var kept []string
	for _, f := range fields {
		switch strings.Trim(f, "()[]-,.:;/") {
		case "bypass", "main", "mainline", "":
		default:
			kept = append(kept, f)
		}
	}
	return strings.Join(kept, " ")
}
