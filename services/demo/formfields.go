package demo

import (
	"fmt"
	"strings"

	"valveround/events"
)

// formFields fills in what only report forms ask for: mailing addresses, account and meter numbers, how units were put in,
// and makers and calibrations of gauges. Some of it stays unknown, as in any office. It draws from dice of its own.
func (m *making) formFields() {
	d := newDice(m.o.Seed, "forms")
	for i := range m.purveyors {
		m.purveyors[i].facts.SystemNumber = fmt.Sprintf("TC%07d", 410_000+11*i)
	}
	for i := range m.customers {
		facts := &m.customers[i].facts
		if d.chance(0.9) {
			facts.MailingAddress = fmt.Sprintf("PO Box %d, %s", d.between(10, 990), pick(d, m.towns).Name)
		}
		if strings.Contains(facts.Name, "School") || strings.Contains(facts.Name, "Management") || strings.Contains(facts.Name, "Hospital") {
			facts.PurchaseOrder = fmt.Sprintf("PO-%04d", d.between(100, 9999))
		}
	}
	for i, c := range m.crews {
		for j := range c.gauges {
			facts := &m.crews[i].gauges[j].facts
			facts.Maker, facts.Model = "Harbeck", pick(d, []string{"D-5", "D-15"})
			facts.CalibratedOn, facts.CalibratedBy = facts.CertifiedUntil.AddDays(-365), "Northgate Instruments, "+m.towns[0].Name
		}
	}
	for i, s := range m.sites {
		s.facts.Account = fmt.Sprintf("%02d-%05d-%d", s.town+1, 200+i, d.IntN(10))
		if d.chance(0.8) {
			s.facts.Parcel = fmt.Sprintf("%s, block %d, lot %d", countyName, d.between(1, 240), d.between(1, 60))
		}
		for _, u := range s.units {
			u.putIn(d)
		}
	}
}

// putIn says how a unit was put in.
func (u *unit) putIn(d dice) {
	f := &u.facts
	f.Isolates = map[events.Service]string{events.Domestic: "the whole building", events.Irrigation: "lawn sprinklers", events.Fire: "sprinkler system", events.Process: "boiler feed"}[f.Service]
	if f.Type == events.AirGap {
		return
	}
	height := d.between(12, 40)
	f.Installation = events.Installation{WaterMeter: fmt.Sprintf("M%07d", d.IntN(10_000_000)), Orientation: "horizontal", HeightIn: &height,
		FrostFlood: pick(d, []string{"heated room, floor drain", "insulated box", "drained in winter"}), OutletsBefore: "none seen", Approved: events.SaidYes}
	if d.chance(0.6) {
		f.Installation.Permit = fmt.Sprintf("PL-%d-%04d", d.between(2004, 2024), d.IntN(10_000))
	}
	if d.chance(0.1) {
		f.Installation.Orientation = "vertical, flow up"
	}
	if f.Type.HasRelief() {
		f.Installation.ReliefGap = events.SaidYes
	}
	if f.Type.IsDetector() {
		f.Installation.DetectorMeter = fmt.Sprintf("D%06d", d.IntN(1_000_000))
	}
	if f.Service == events.Fire {
		flow := 250 * d.between(1, 4)
		f.Installation.DesignFlowGPM = &flow
	}
	if f.Vault != events.NoVault {
		f.Installation.HeightIn, f.Installation.FrostFlood = nil, "below frost, sump pump"
	}
}

// meters are what a tester reads off beside a unit on a day: the digits go up through the years.
func (u *unit) meters(t *events.Test, on events.Date) {
	year, month, _ := on.YMD()
	used := (year-2015)*12 + int(month)
	if n := u.facts.Installation.WaterMeter; n != "" {
		t.WaterMeter = fmt.Sprintf("%07d gal", 4100*used+int(n[len(n)-1]))
	}
	if u.facts.Installation.DetectorMeter != "" {
		t.DetectorMeter = fmt.Sprintf("%05d gal", 3*used)
	}
	if flow := u.facts.Installation.DesignFlowGPM; flow != nil {
		measured := *flow + 15
		t.ForwardFlowGPM = &measured
	}
}
