package crew

import "valveround/events"

// NextStep says what follows an outcome, for the phone and the office; why is the reason of could-not-test. What the
// office does is common practice; the purveyor's rules and local code come first.
func NextStep(outcome events.VisitOutcome, why string) string {
	switch outcome {
	case events.OutcomePassed:
		return "The report goes to the purveyor by its clock. Hang the tag where one is required."
	case events.OutcomeFailed:
		return "It may stay in service while the clock runs. The office orders what is needed, asks for the yes to repair and tells the purveyor; a repair and a retest are owed."
	case events.OutcomeRepairedPassed:
		return "The report goes to the purveyor with the readings before and after the repair."
	case events.OutcomeCouldNotTest:
		return couldNotStep(why)
	case events.OutcomeNotFound:
		return "The office asks the owner and the purveyor where it is, or whether it is gone. The test stays owed until then."
	case events.OutcomeRemoved:
		return "The office tells the purveyor. Only the purveyor says whether the hazard behind it needs another assembly."
	case events.OutcomeReplaced:
		return "The old serial is retired. The new unit needs its first test before it counts; some purveyors want to witness it."
	case events.OutcomeWrongType:
		return "The office asks the purveyor whether the type that is there is right for the hazard, and corrects the record."
	case events.OutcomeNoAccess:
		return "The office calls and agrees a new time. The deadline stays."
	case events.OutcomeRefused:
		return "The office asks the owner and tells the purveyor by its rules. The deadline stays."
	case events.OutcomeRanOut:
		return "It is planned again inside the next window. The deadline stays."
	}
	return ""
}

// couldNotStep is what follows a test that could not be completed, which is neither a pass nor a fail.
func couldNotStep(why string) string {
	const neither = "Neither a pass nor a fail. "
	switch why {
	case "shut-off-would-not-hold":
		return neither + "In many places only the purveyor may work the street valve: the office books whoever may shut the line before it, and the owner has the shut-off mended."
	case "cock-broken":
		return neither + "The office orders the cock and asks for the yes to repair; the test follows once it is fitted."
	case "buried":
		return neither + "The owner uncovers it, or says yes to digging; then it is planned again."
	case "flooded":
		return neither + "A pump-out is booked. Nobody goes in until the air is tested; the entry supervisor decides."
	case "no-pressure":
		return neither + "The office asks who turned the water off. A unit without pressure cannot be tested."
	case "winterised":
		return neither + "It is tested when the line holds water again, before the season's first use."
	case "vacant":
		return neither + "The office tells the purveyor; many rules want the test before the building is used again."
	}
	return neither + "The office clears what stood in the way and plans it again."
}

// nextSteps is NextStep of every outcome, and of every reason as could-not-test/reason, for a phone without signal.
func nextSteps() map[string]string {
	steps := map[string]string{}
	for _, o := range events.VisitOutcomes {
		steps[string(o)] = NextStep(o, "")
	}
	for _, why := range events.CouldNotReasons {
		steps[string(events.OutcomeCouldNotTest)+"/"+why] = NextStep(events.OutcomeCouldNotTest, why)
	}
	return steps
}
