package plain

import "valveround/events"

// The struct tags: csv is the column's name; then "required", or "oneof=a|b". help is for people.

// Purveyor is a row of purveyors.csv.
type Purveyor struct {
	Line                      int           `csv:"-"` // physical row it was read from
	ID                        string        `csv:"id,required" help:"letters, digits, hyphens; names the purveyor in other files"`
	Name                      string        `csv:"name,required"`
	Zone                      string        `csv:"zone" help:"IANA time zone, such as America/Denver"`
	CriteriaProfile           string        `csv:"criteria_profile" help:"which field-test criteria it uses; blank: the strictest"`
	IntervalMonths            *int          `csv:"interval_months" help:"between tests; blank: not known, ask"`
	EarliestDaysBeforeDue     *int          `csv:"earliest_days_before_due" help:"how early a test still counts; blank: any time"`
	RepairDaysHealth          *int          `csv:"repair_days_health" help:"to repair and retest after a failure, health hazard; blank: not known, ask"`
	RepairDaysNonHealth       *int          `csv:"repair_days_non_health" help:"the same, non-health hazard"`
	RepairDaysUnit            string        `csv:"repair_days_unit,oneof=calendar|business"`
	RepairCountsFrom          string        `csv:"repair_counts_from,oneof=test|report|notice-sent|notice-received|inspection" help:"blank: test"`
	ReportDaysPass            *int          `csv:"report_days_pass" help:"to send the report of a pass; blank: not known, ask"`
	ReportDaysFail            *int          `csv:"report_days_fail"`
	ReportDaysUnit            string        `csv:"report_days_unit,oneof=calendar|business"`
	PhoneInHours              *int          `csv:"phone_in_hours" help:"a failure is told by telephone within; blank: not asked for"`
	Roll                      string        `csv:"roll,oneof=before|none|after" help:"a deadline on a closed day moves to the working day before (strictest), stays, or moves after"`
	ClosedDays                []events.Date `csv:"closed_days" help:"days the purveyor does not work, beside weekends"`
	HolidayRegion             string        `csv:"holiday_region" help:"whose public holidays it keeps too, an ISO 3166 code such as US; blank: none are taken for closed"`
	RegistrationRequired      *bool         `csv:"registration_required" help:"testers must be registered with it; blank: not known"`
	GaugeRegistrationRequired *bool         `csv:"gauge_registration_required" help:"gauges must be registered with it; blank: not known"`
	VacantMonths              *int          `csv:"vacant_months" help:"after so many months empty a building is tested before it is used again; 0: no such rule; blank: not known, ask"`
	IdleMonths                *int          `csv:"idle_months" help:"after so many months out of use it is tested before use; 0: no such rule; blank: not known, ask"`
	RuleSource                string        `csv:"rule_source" help:"the code or page the rules are from"`
	SystemNumber              string        `csv:"system_number" help:"as a public water system"`
}

// Customer is a row of customers.csv.
type Customer struct {
	Line           int      `csv:"-"`
	ID             string   `csv:"id,required"`
	Name           string   `csv:"name,required"`
	RepairStanding string   `csv:"repair_standing,oneof=yes|no|ask" help:"may a failed unit be opened and repaired without asking; blank: ask"`
	RepairLimitUSD *float64 `csv:"repair_limit_usd" help:"up to this sum; blank: no sum was named"`
	PurchaseOrder  string   `csv:"purchase_order" help:"a standing one, put on invoices"`
	MailingAddress string   `csv:"mailing_address" help:"of the owner, as report forms ask"`
	OnHold         *bool    `csv:"on_hold" help:"no work until settled; blank: no"`
}

// Site is a row of sites.csv.
type Site struct {
	Line           int         `csv:"-"`
	ID             string      `csv:"id,required"`
	CustomerID     string      `csv:"customer_id"`
	Name           string      `csv:"name,required"`
	Kind           string      `csv:"kind" help:"restaurant, hospital, school and so on"`
	Address        string      `csv:"address"`
	City           string      `csv:"city"`
	Account        string      `csv:"account" help:"its number with the purveyor"`
	Parcel         string      `csv:"parcel" help:"county, block and lot"`
	LatDeg         *float64    `csv:"lat_deg" help:"degrees north, WGS 84"`
	LonDeg         *float64    `csv:"lon_deg" help:"degrees east, WGS 84; negative west of Greenwich"`
	PositionSource string      `csv:"position_source,oneof=surveyed|address-point|phone|street|approximate|missing" help:"how sure the position is"`
	Zone           string      `csv:"zone" help:"IANA time zone; every window of the site is meant in it"`
	Region         string      `csv:"region" help:"whose public holidays PH means in the hours, an ISO 3166 code such as US"`
	AccessHours    string      `csv:"access_hours" help:"when the crew may be there, in opening-hours syntax"`
	NoticeDays     *int        `csv:"notice_days" help:"days of notice the site must have before water goes off"`
	NoticeGivenOn  events.Date `csv:"notice_given_on"`
	VacantSince    events.Date `csv:"vacant_since" help:"the first day on which it stood empty; blank: it does not"`
	UsedAgainOn    events.Date `csv:"used_again_on" help:"of one that stands empty; blank: nobody knows yet"`
	Access         string      `csv:"access" help:"where to report, which door; no codes"`
	Caution        string      `csv:"caution" help:"shown to the crew before anything else"`
	Hospital       *bool       `csv:"hospital" help:"two legs of a manifold never on one day; blank: no"`
	Needs          []Need      `csv:"needs" help:"what others must bring (street-valve, alarm-company, escort, pump-out) = the desk or firm to book / its telephone number; separated by semicolons"`
}

// Feed is a row of feeds.csv.
type Feed struct {
	Line           int         `csv:"-"`
	ID             string      `csv:"id,required"`
	SiteID         string      `csv:"site_id,required"`
	Name           string      `csv:"name"`
	FedFrom        string      `csv:"fed_from" help:"id of the feed upstream, which must be live while this one is tested"`
	Manifold       string      `csv:"manifold" help:"the same word on all legs of one manifold"`
	ShutdownWindow string      `csv:"shutdown_window" help:"when the feed may be dry, in opening-hours syntax"`
	Fire           *bool       `csv:"fire" help:"shutting it puts fire protection out of service; blank: no"`
	State          string      `csv:"state,oneof=in-service|shut|impaired|partly-open" help:"how it was left; blank: in service"`
	Season         string      `csv:"season" help:"when an irrigation feed holds water; blank: always"`
	Pressurised    *bool       `csv:"pressurised" help:"no: drained, cannot be tested before it is filled; blank: not known"`
	OutOfUseSince  events.Date `csv:"out_of_use_since" help:"the first day without use; blank: it is in use"`
	UsedAgainOn    events.Date `csv:"used_again_on" help:"of one out of use; blank: nobody knows yet"`
	Needs          []Need      `csv:"needs" help:"what others must bring for it, as of a site"`
}

// Need is something that others must bring: "street-valve=Valve desk/555-0142"; desk and number may be left out.
type Need struct {
	What  string
	Whom  string // the desk or firm to book
	Phone string // its telephone number
}

// Assembly is a row of assemblies.csv.
type Assembly struct {
	Line           int                 `csv:"-"`
	ID             string              `csv:"id,required"`
	SiteID         string              `csv:"site_id,required"`
	FeedID         string              `csv:"feed_id,required"`
	PurveyorID     string              `csv:"purveyor_id,required"`
	PurveyorNumber string              `csv:"purveyor_number" help:"the purveyor's own number for it"`
	Type           events.AssemblyType `csv:"type,required" help:"DC, DCDA, DCDA-II, RP, RPDA, RPDA-II, PVB, SVB, AVB, AG"`
	Size           events.Size         `csv:"size_in" help:"nominal size, such as 3/4 in or 2-1/2 in"`
	Service        string              `csv:"service,oneof=domestic|irrigation|fire|process"`
	Hazard         string              `csv:"hazard,oneof=health|non-health|imminent" help:"blank: not known, planned as health"`
	Maker          string              `csv:"maker"`
	Model          string              `csv:"model"`
	Serial         string              `csv:"serial"`
	BypassMaker    string              `csv:"bypass_maker"`
	BypassModel    string              `csv:"bypass_model"`
	BypassSize     events.Size         `csv:"bypass_size_in"`
	BypassSerial   string              `csv:"bypass_serial"`
	PlaceWords     string              `csv:"place_words" help:"where at the site"`
	Vault          string              `csv:"vault,oneof=none|open|permit" help:"permit: a permit-required confined space; blank: not known"`
	Isolates       string              `csv:"isolates" help:"zone or equipment that it cuts off"`
	Permit         string              `csv:"permit" help:"number of the plumbing permit it was put in under"`
	Approved       string              `csv:"approved_when_installed,oneof=yes|no" help:"blank: not known"`
	Orientation    string              `csv:"orientation" help:"horizontal, vertical up and so on"`
	HeightIn       *int                `csv:"height_in" help:"above the floor, in inches"`
	FrostFlood     string              `csv:"frost_flood" help:"how it is kept from frost and flooding"`
	OutletsBefore  string              `csv:"outlets_before" help:"bypasses, or outlets before it"`
	ReliefGap      string              `csv:"relief_gap,oneof=yes|no" help:"an air gap below the relief port; blank: not known"`
	WaterMeter     string              `csv:"water_meter" help:"its number"`
	DetectorMeter  string              `csv:"detector_meter" help:"its number"`
	DesignFlowGPM  *int                `csv:"design_flow_gpm" help:"forward flow a fire line was designed for"`
	LatDeg         *float64            `csv:"lat_deg" help:"of the assembly itself; blank: the site's"`
	LonDeg         *float64            `csv:"lon_deg"`
	LastPassed     events.Date         `csv:"last_passed"`
}

// Person is a row of people.csv.
type Person struct {
	Line                   int            `csv:"-"`
	ID                     string         `csv:"id,required"`
	DisplayName            string         `csv:"display_name,required"`
	TesterCertificateUntil events.Date    `csv:"tester_certificate_until" help:"blank: may not test"`
	TesterCertificate      string         `csv:"tester_certificate" help:"its number, for reports"`
	RepairerUntil          events.Date    `csv:"repairer_until" help:"licence to repair; blank: may not repair"`
	RepairLicence          string         `csv:"repair_licence" help:"its number, for reports"`
	FireLicenceUntil       events.Date    `csv:"fire_licence_until" help:"blank: may not work on fire lines"`
	FireLicence            string         `csv:"fire_licence" help:"its number"`
	ConfinedSpaceUntil     events.Date    `csv:"confined_space_until" help:"training; blank: may not enter permit vaults"`
	Registrations          []Registration `csv:"registrations" help:"purveyor_id=last day, separated by semicolons"`
}

// Registration is one purveyor's registration of a person.
type Registration struct {
	PurveyorID string
	Until      events.Date
}

// Crew is a row of crews.csv.
type Crew struct {
	Line            int      `csv:"-"`
	ID              string   `csv:"id,required"`
	Name            string   `csv:"name,required"`
	Letter          string   `csv:"letter" help:"told apart on maps and sheets by it"`
	People          []string `csv:"people,required" help:"ids, separated by semicolons"`
	Gauges          []string `csv:"gauges" help:"ids, separated by semicolons"`
	HomeLatDeg      *float64 `csv:"home_lat_deg,required" help:"where the route starts and ends"`
	HomeLonDeg      *float64 `csv:"home_lon_deg,required"`
	Zone            string   `csv:"zone" help:"IANA time zone"`
	Region          string   `csv:"region" help:"whose public holidays PH means in the hours, an ISO 3166 code such as US"`
	Hours           string   `csv:"hours,required" help:"working time in opening-hours syntax"`
	OvertimeMinutes *int     `csv:"overtime_minutes" help:"a day, at most; blank: none"`
	BreakMinutes    *int     `csv:"break_minutes" help:"a day; blank: no break"`
	BreakFrom       string   `csv:"break_from" help:"not before, as 11:30"`
	BreakTo         string   `csv:"break_to" help:"over by, as 13:30"`
}

// Gauge is a row of gauges.csv.
type Gauge struct {
	Line           int         `csv:"-"`
	ID             string      `csv:"id,required"`
	Serial         string      `csv:"serial"`
	Maker          string      `csv:"maker"`
	Model          string      `csv:"model"`
	CalibratedOn   events.Date `csv:"calibrated_on" help:"its newest accuracy check"`
	CalibratedBy   string      `csv:"calibrated_by" help:"the laboratory, and where"`
	CertifiedUntil events.Date `csv:"certified_until" help:"of its accuracy certificate; blank: not to be used"`
	RegisteredWith []string    `csv:"registered_with" help:"purveyor ids"`
	Potable        *bool       `csv:"potable" help:"no: has been on non-potable water and never goes on potable again; blank: not known"`
	State          string      `csv:"state,oneof=in-use|dropped" help:"dropped: out of use until verified; blank: in use"`
}

// RepairKit is a row of kits.csv: one repair kit on a shelf, on a truck or on order.
type RepairKit struct {
	Line       int         `csv:"-"`
	ID         string      `csv:"id,required"`
	Code       string      `csv:"code,required" help:"what jobs ask for in needs_kit_codes"`
	Maker      string      `csv:"maker"`
	Model      string      `csv:"model"`
	Size       events.Size `csv:"size_in"`
	Component  string      `csv:"component" help:"check 1, relief and so on"`
	State      string      `csv:"state,required,oneof=needed|ordered|promised|received|reserved"`
	PromisedOn events.Date `csv:"promised_on"`
	ForJob     string      `csv:"for_job" help:"id of the job it is reserved or needed for"`
	Where      string      `csv:"where" help:"which shelf or truck"`
}

// Job is a row of jobs.csv.
type Job struct {
	Line             int         `csv:"-"`
	ID               string      `csv:"id,required"`
	AssemblyID       string      `csv:"assembly_id,required"`
	Kind             string      `csv:"kind,required,oneof=annual|return-visit|new-install|re-occupancy|before-use|relief-discharging|after-freeze|after-repair|season-start|survey"`
	Due              events.Date `csv:"due" help:"blank: not known, ask; never no deadline"`
	Earliest         events.Date `csv:"earliest" help:"a test before this day does not count"`
	Standing         string      `csv:"standing,oneof=ours|not-ours|ask" help:"blank: ask"`
	Stage            string      `csv:"stage,oneof=due|failed-retest|parts-pending|parts-ready" help:"blank: due"`
	FailedOn         events.Date `csv:"failed_on"`
	RetestBy         events.Date `csv:"retest_by" help:"the purveyor's deadline after the failure; blank: by its rules"`
	RepairAuthorised *bool       `csv:"repair_authorised" help:"blank: not asked yet"`
	NeedsKitCodes    []string    `csv:"needs_kit_codes"`
	Notes            string      `csv:"notes"`
}

// Booking is a row of bookings.csv: a time for which others said that they bring something to a site.
type Booking struct {
	Line      int         `csv:"-"`
	ID        string      `csv:"id,required" help:"names the row"`
	SiteID    string      `csv:"site_id,required"`
	FeedID    string      `csv:"feed_id" help:"blank: every feed of the site"`
	What      string      `csv:"what,required,oneof=street-valve|alarm-company|escort|pump-out"`
	Day       events.Date `csv:"day,required" help:"by the clocks of the site, as the times"`
	From      string      `csv:"from_time,required" help:"such as 06:00"`
	To        string      `csv:"to_time,required" help:"not after from_time: on the next day"`
	Whom      string      `csv:"whom" help:"the desk or firm that comes; no names of people"`
	Reference string      `csv:"reference" help:"what they want to hear when they are called about it"`
}
