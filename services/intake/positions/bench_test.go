package positions_test

import (
	"fmt"
	"strings"
	"testing"

	"valveround/services/intake/positions"
)

// BenchmarkPropose: a thousand sites against a county of 100,000 doors, and against 8,000 streets.
func BenchmarkPropose(b *testing.B) {
	names := strings.Fields("Mill Weir Willow Quarry Orchard Harbour Chapel Station Meadow Cedar Maple Poplar Hazel Linden Juniper Heron Falcon Saddle Lantern Copper")
	kinds := strings.Fields("St Ave Rd Ln Dr Ct Blvd Ter")
	street := func(i int) string {
		return fmt.Sprintf("%s%s %s", names[i%20], strings.ToLower(names[i/20%20]), kinds[i/400%8])
	}
	addresses := map[string]string{}
	for i := range 1000 {
		addresses[fmt.Sprint(i)] = fmt.Sprintf("%d %s, Ashby", 100+i%250, strings.ToUpper(street(i*7)))
	}
	var doors, streets strings.Builder
	doors.WriteString("address,city,lat,lon\n")
	streets.WriteString("street,city,lat,lon\n")
	for i := range 100_000 {
		fmt.Fprintf(&doors, "%d %s,Ashby,41.%05d,-95.%05d\n", 100+i%250, street(i/31), i, i)
	}
	for i := range 3200 {
		fmt.Fprintf(&streets, "%s,Ashby,41.%05d,-95.%05d\n", street(i), i, i)
	}
	for name, text := range map[string]string{"doors": doors.String(), "streets": streets.String()} {
		points, err := positions.ReadPoints("points.csv", []byte(text))
		if err != nil {
			b.Fatal(err)
		}
		book := book(addresses)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				positions.Propose(book, "north", points)
			}
		})
	}
}
