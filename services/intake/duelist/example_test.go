package duelist_test

import (
	"fmt"
	"strings"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/sheet"
)

// A list with a size that a spreadsheet turned into a date, and a day that does not exist.
func Example() {
	file := `Device #,Service Address,Type,Size,Due Date
L-17,12 Oak Street,RPZ,4-Mar,3/15/2026
L-18,,DCVA,2,6/31/2026
`
	tables, err := sheet.Read("larkwater.csv", []byte(file), sheet.Limits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	table := tables[0]
	mapping := duelist.ProposeMapping(table) // show it; save it for the purveyor once it is right
	result, err := duelist.Read(table, mapping, duelist.Options{AsOf: events.NewDate(2026, 3, 1)})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range result.Rows {
		fmt.Printf("%s: %s at %s, due %s\n", row.Number, row.Type, row.Address, row.Due)
	}
	for _, warning := range result.Warnings {
		fmt.Println("warning:", warning.Where(), warning.Problem)
	}
	var rejected strings.Builder
	if err := duelist.SaveRejected(&rejected, table, result); err != nil {
		fmt.Println(err)
	}
	fmt.Print(strings.NewReplacer("\ufeff", "", "\r", "").Replace(rejected.String())) // it begins with a byte-order mark
	// Output:
	// L-17: RP at 12 Oak Street, due 2026-03-15
	// warning: larkwater.csv row 2, column D "Size" is a date: most likely a fraction that a spreadsheet turned into one (3/4?); the size was left open
	// Device #,Service Address,Type,Size,Due Date,problem
	// L-18,12 Oak Street,DCVA,2,6/31/2026,"Due Date ""6/31/2026"" does not exist: June 2026 has 30 days: ask the purveyor which day is meant, and write the day as year-month-day, such as 2026-03-31"
}
