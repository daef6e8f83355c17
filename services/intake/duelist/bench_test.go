package duelist

import (
	"fmt"
	"strings"
	"testing"
)

func BenchmarkRead(b *testing.B) {
	var text strings.Builder
	text.WriteString("Device No,Customer,Address,City,Type,Size,Serial,Due\n")
	for i := range 5000 {
		fmt.Fprintf(&text, "L-%d,Owner %d,%d Oak St,Lark,RP,2,A%d,3/%d/2026\n", i, i/3, i, i, i%28+1)
	}
	table := tableOf(b, text.String())
	m := ProposeMapping(table)
	b.ResetTimer()
	for b.Loop() {
		r, err := Read(table, m, Options{AsOf: asOf})
		if err != nil || len(r.Rows) != 5000 {
			b.Fatal(len(r.Rows), err)
		}
	}
}
