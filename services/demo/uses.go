package demo

import "valveround/events"

// use is what a site is for: how common, when crews may come, when water may be off (common practice), what is there.
type use struct {
	name   string
	weight int
	hours  []useHours
	notice []int // days
	layout func(b *builder)
}

// useHours go together: when a crew may be there, and when the water may be off.
type useHours struct{ access, shutdown string }

var uses = []use{
	{"restaurant", 21, []useHours{
		{"Mo-Su 05:00-11:00,14:00-16:30", "Mo-Su 05:00-09:00"}, {"Tu-Su 05:00-10:00", "Tu-Su 05:00-09:00"},
		{"Mo-Sa 04:30-16:30; Dec 25 off", "Mo-Sa 04:30-08:30,14:30-16:00; Dec 25 off"}, {"Mo-Su 05:30-11:00", "Mo-Su 05:30-09:30"},
	}, []int{0, 1, 2}, restaurant},
	{"office", 15, []useHours{
		{"Mo-Fr 05:30-19:00", "Mo-Fr 06:00-08:00,17:00-19:00"}, {"Mo-Fr 05:30-18:00, Sa 08:00-12:00", "Mo-Fr 05:30-07:30, Sa 08:00-12:00"},
		{"Mo-Fr 06:00-18:00", "Mo-Fr 06:00-08:30"},
	}, []int{2, 2, 3}, office},
	{"shop", 12, []useHours{
		{"Mo-Sa 07:00-19:00", "Mo-Sa 07:00-10:00"}, {"Mo-Su 06:30-18:00", "Mo-Su 06:30-09:30"}, {"Mo-Sa 07:00-19:00", "Mo-Fr 07:00-10:30"},
	}, []int{0, 0, 1}, shop},
	{"apartments", 14, []useHours{{"Mo-Fr 08:00-17:00", "Mo-Fr 10:00-14:00"}, {"Mo-Fr 08:00-17:00", "Mo-Fr 09:30-14:30"}}, []int{1, 2, 3}, apartments},
	{"school", 6, []useHours{
		{"Mo-Fr 05:30-18:30; Dec 20-Jan 2 off", "Mo-Fr 05:30-07:30,16:00-18:00; Dec 20-Jan 2 off"},
		{"Mo-Fr 06:00-18:30", "Sep-May Mo-Fr 15:30-18:30; Jun-Aug Mo-Fr 07:00-15:00"},
	}, []int{3, 5}, school},
	{"industrial", 9, []useHours{
		{"Mo-Fr 06:00-22:00", "Mo-Fr 06:00-14:00"}, {"Mo-Fr 00:00-24:00", "Mo,We,Fr 06:00-11:00"},
		{"24/7", "Fr 22:00-06:00, Mo-Th 12:00-14:30"}, {"Mo-Fr 06:00-22:00", "Tu,Th 13:00-15:30"},
	}, []int{5, 7, 10}, industrial},
	{"grounds", 10, []useHours{{"Mo-Sa 06:00-19:00", "Mo-Fr 06:00-16:00"}, {"Mo-Sa 06:00-19:00", "Mo-Sa 06:30-12:00"}}, []int{0}, grounds},
	{"clinic", 5, []useHours{
		{"Mo-Fr 06:00-18:00", "Mo-Fr 06:30-08:00,12:00-13:30"}, {"Mo-Fr 06:00-18:00", "Mo-Fr 06:30-08:00, We 12:00-17:00"},
	}, []int{1, 2}, clinic},
	{"workshop", 6, []useHours{{"Mo-Fr 07:00-17:00", "Mo-Fr 07:00-12:00"}, {"Mo-Sa 07:00-16:30", "Mo-Fr 07:00-16:00"}}, []int{0}, workshop},
	{"hospital", 1, []useHours{{"24/7", "Mo-Fr 05:00-09:00"}, {"24/7", "Tu,Th 06:00-10:00"}}, []int{5, 7}, hospital},
	{"campus", 1, []useHours{{"Mo-Fr 06:00-18:00", "Mo-Fr 06:00-10:00"}}, []int{3}, campus},
}

func useNamed(name string) *use {
	for i := range uses {
		if uses[i].name == name {
			return &uses[i]
		}
	}
	panic("demo: no use " + name)
}

// storyUse is the first site of every county: open all day, one plain RP near the crews, not yet on any list taken in.
var storyUse = use{"workshop", 0, []useHours{{"Mo-Su 06:00-20:00", "Mo-Su 06:00-20:00"}}, []int{0}, func(b *builder) {
	b.add(b.feed("domestic", b.window()), events.RP, 8, events.Domestic, events.Health, "inside the roller door")
}}

func restaurant(b *builder) {
	street := b.feed("kitchen main", b.window())
	b.add(street, events.RP, b.size(6, 8, 8, 12, 16), events.Domestic, events.Health, "back wall by the meter")
	if b.chance(0.3) {
		b.add(b.inner("drinks machine", street), events.RP, b.size(3, 4, 6), events.Domestic, events.Health, "under the bar counter")
	}
	if b.chance(0.15) {
		b.irrigation()
	}
}

func office(b *builder) {
	street := b.feed("domestic", b.window())
	b.add(street, b.either(0.5, events.RP, events.DC), b.size(8, 12, 16, 24), events.Domestic, b.hazard(0.4), "riser room, ground floor")
	if b.chance(0.45) {
		b.fireLine()
	}
	if b.chance(0.3) {
		b.irrigation()
	}
	if b.chance(0.2) {
		b.add(b.inner("cooling tower make-up", street), events.RP, b.size(8, 12, 16), events.Process, events.Health, "roof plant room")
	}
}

func shop(b *builder) {
	b.add(b.feed("domestic", b.window()), b.either(0.5, events.RP, events.DC), b.size(6, 8, 12), events.Domestic, b.hazard(0.4), "store room")
	if b.chance(0.25) {
		b.fireLine()
	}
}

func apartments(b *builder) {
	b.add(b.feed("domestic", b.window()), b.either(0.7, events.DC, events.RP), b.size(16, 24, 32), events.Domestic, b.hazard(0.2), "pump room")
	if b.chance(0.55) {
		b.fireLine()
	}
	if b.chance(0.4) {
		b.irrigation()
	}
}

func school(b *builder) {
	street := b.feed("domestic", b.window())
	b.add(street, events.RP, b.size(16, 24, 32), events.Domestic, events.Health, "boiler house")
	b.fireLine()
	b.irrigation()
	if b.chance(0.5) {
		b.add(b.inner("boiler make-up", street), events.RP, b.size(6, 8), events.Process, events.Health, "boiler house")
	}
	if b.chance(0.3) {
		b.add(b.inner("laboratory", street), events.RP, b.size(8, 12), events.Domestic, events.Health, "science wing store")
	}
}

func industrial(b *builder) {
	street := b.feed("domestic", b.window())
	b.vault(0.3, b.add(street, events.RP, b.size(16, 24, 32, 48), events.Domestic, events.Health, "gatehouse pit"))
	b.add(b.inner("process water", street), events.RP, b.size(12, 16, 24, 32), events.Process, b.imminent(0.06), "plant floor, bay 2")
	if b.chance(0.6) {
		b.fireLine()
	}
	if b.chance(0.2) {
		b.add(b.feed("tank fill", "24/7"), events.AirGap, b.size(16, 24), events.Process, events.Health, "tank platform")
	}
}

func grounds(b *builder) {
	b.irrigation()
	if b.chance(0.25) {
		b.irrigation()
	}
	if b.chance(0.2) {
		b.add(b.feed("drinking fountain", b.window()), events.DC, b.size(6), events.Domestic, events.NonHealth, "behind the pavilion")
	}
}

func clinic(b *builder) {
	street := b.feed("domestic", b.window())
	b.add(street, events.RP, b.size(8, 12, 16), events.Domestic, events.Health, "utility closet")
	if b.chance(0.5) {
		b.add(b.inner("treatment rooms", street), events.RP, b.size(4, 6), events.Process, events.Health, "sterilising room")
	}
	if b.chance(0.2) {
		b.add(b.inner("cleaner's sink", street), events.SVB, b.size(4, 6), events.Domestic, events.Health, "cleaner's closet")
	}
}

func workshop(b *builder) {
	street := b.feed("domestic", b.window())
	b.add(street, events.RP, b.size(6, 8, 12), events.Domestic, events.Health, "inside the roller door")
	if b.chance(0.25) {
		b.add(street, events.AVB, b.size(6), events.Process, events.Health, "wash bay hose point")
	}
}

// hospital: two legs of a manifold, never dry together; the fire line; feeds inside, which either leg can carry.
func hospital(b *builder) {
	b.site.facts.LegsOneADay = b.nth%2 == 0
	b.site.facts.Caution = "Never both legs. The engineer on duty proves the other leg open and flowing first; dialysis and boilers decide the hour."
	size := b.size(32, 48)
	for _, name := range []string{"leg A", "leg B"} {
		leg := b.feed(name, b.window())
		leg.facts.Manifold = "street manifold"
		b.add(leg, events.RP, size, events.Domestic, events.Health, "valve room, "+name)
	}
	b.add(b.feed("boiler make-up", b.window()), events.RP, b.size(8, 12), events.Process, events.Health, "boiler house")
	b.add(b.feed("dialysis", b.window()), events.RP, b.size(8), events.Domestic, events.Health, "water treatment room")
	b.fireLine()
}

// campus: one street unit that feeds all others, which need its pressure to be tested.
func campus(b *builder) {
	street := b.feed("street", b.window())
	b.vault(1, b.add(street, events.RP, b.size(48, 64), events.Domestic, events.Health, "street vault by the north gate"))
	for i := range 5 + b.IntN(6) {
		hall := b.inner("hall "+letter(i), street)
		b.add(hall, b.either(0.5, events.RP, events.DC), b.size(8, 12, 16, 24), events.Domestic, b.hazard(0.5), "basement of hall "+letter(i))
	}
	b.fireLine()
	b.irrigation()
}

// extra is one more unit somewhere inside, of the kinds that are found late.
func extra(b *builder) {
	street := b.site.feeds[0]
	if b.site.use.name == "grounds" || street.facts.Manifold != "" {
		b.irrigation()
		return
	}
	switch b.IntN(8) {
	case 0, 1:
		b.add(b.inner("boiler make-up", street), events.RP, b.size(4, 6), events.Process, events.Health, "heating closet")
	case 2:
		b.add(b.inner("ice machine", street), events.DC, b.size(3, 4), events.Domestic, events.NonHealth, "kitchen corner")
	case 3:
		b.add(b.inner("humidifier", street), events.RP, b.size(4, 6), events.Process, events.Health, "air handling room")
	case 4, 5:
		b.irrigation()
	case 6:
		b.add(b.inner("hose station", street), b.either(0.6, events.SVB, events.PVB), b.size(6, 8), events.Process, events.Health, "loading dock")
	case 7:
		b.add(b.inner("laundry", street), events.DC, b.size(8, 12), events.Domestic, events.NonHealth, "laundry room")
	}
}
