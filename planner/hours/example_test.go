package hours_test

import (
	"fmt"
	"time"
	_ "time/tzdata"

	"valveround/planner/hours"
)

func ExampleHours_Spans() {
	loc, err := time.LoadLocation("America/New_York")
	if err != nil {
		panic(err)
	}
	dry, err := hours.Parse("Mo-Fr 05:00-09:00,22:00-02:00; Dec 24-26 off")
	if err != nil {
		panic(err)
	}
	from := time.Date(2026, time.December, 23, 0, 0, 0, 0, loc)
	for _, s := range dry.Spans(loc, from, from.AddDate(0, 0, 7)) {
		fmt.Println(s.Open.Format("Mon 02 15:04"), "to", s.Close.Format("Mon 02 15:04"), "for", s.Duration())
	}
	// Output:
	// Wed 23 00:00 to Wed 23 02:00 for 2h0m0s
	// Wed 23 05:00 to Wed 23 09:00 for 4h0m0s
	// Wed 23 22:00 to Thu 24 00:00 for 2h0m0s
	// Mon 28 05:00 to Mon 28 09:00 for 4h0m0s
	// Mon 28 22:00 to Tue 29 02:00 for 4h0m0s
	// Tue 29 05:00 to Tue 29 09:00 for 4h0m0s
	// Tue 29 22:00 to Wed 30 00:00 for 2h0m0s
}

func ExampleParse_refused() {
	_, err := hours.Parse("Mo-Fr 08:00-sunset")
	fmt.Println(err)
	// Output:
	// hours "Mo-Fr 08:00-sunset", column 13: times by the sun (sunset) are not read here; write a clock time such as 18:00
}
