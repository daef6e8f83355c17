package words

import (
	"fmt"
	"slices"

	"valveround/events"
)

// YesToRepair says the consent to repair; empty: the unit is not opened.
func YesToRepair(b *events.Book, a *events.Assembly, j *events.Job) string {
	if j.Yes != nil {
		if j.Yes.LimitUSD > 0 {
			return fmt.Sprintf("yes to repair, up to %d USD", j.Yes.LimitUSD)
		}
		return "yes to repair, " + j.Yes.Basis
	}
	site := b.Sites[a.Site]
	if site == nil {
		return ""
	}
	if c := b.Customers[site.Customer]; c != nil && c.Repair == "yes" {
		text := "standing yes to repair"
		if c.RepairLimitUSD > 0 {
			text += fmt.Sprintf(", up to %d USD", c.RepairLimitUSD)
		}
		return text
	}
	return ""
}

// KitCodes are the repair kits on record that fit the assembly's maker, model and size.
func KitCodes(b *events.Book, a *events.Assembly) []string {
	var codes []string
	for _, k := range b.Kits {
		fits := k.Maker == a.Maker && (k.Model == "" || k.Model == a.Model) && (k.Size.IsZero() || k.Size == a.Size)
		if fits && !slices.Contains(codes, k.Code) {
			codes = append(codes, k.Code)
		}
	}
	slices.Sort(codes)
	return codes
}
