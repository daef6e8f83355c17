package words

import (
	"cmp"

	"valveround/events"
)

// access says who was given or lost which right.
func (t teller) access(event any) string {
	switch e := event.(type) {
	case events.AccountOpened:
		return ended("May sign in" + After(", under the name ", e.Login))
	case events.AccountClosed:
		return sentences("May not sign in any more", After("Why: ", e.Why))
	case events.RoleGiven:
		return ended("Was given " + role(e.Role, e.Office))
	case events.RoleTaken:
		return sentences("Lost "+role(e.Role, e.Office), After("Why: ", e.Why))
	case events.PhoneEnrolled:
		return "A phone was enrolled for work with " + ended(t.crew(e.Crew)+After(": ", e.Name))
	case events.PhoneRevoked:
		return sentences("A phone was taken off: it acts for nobody any more", After("Why: ", e.Why))
	}
	return ""
}

func role(r events.Role, office events.OfficeID) string {
	return "the role " + cmp.Or(string(r), "that is not known") + After(" in the office ", string(office))
}
