package intake

import (
	"fmt"
	"slices"

	"valveround/events"
	"valveround/services/intake/plain"
)

func (f *folding) jobs() {
	lastPassed := map[string]events.Date{} // the folder itself knows of it and lists the job all the same
	for _, r := range f.fleet.Assemblies {
		lastPassed[r.ID] = r.LastPassed
	}
	each(f, "jobs.csv", f.fleet.Jobs, func(r plain.Job) int { return r.Line }, func(c *rowCheck, r plain.Job) {
		c.refer("assembly_id", "assembly", r.AssemblyID)
		ref := events.JobRef{Assembly: events.AssemblyID(r.AssemblyID), Job: events.JobID(r.ID)}
		due := c.jobDue(r)
		if c.bad {
			return
		}
		f.ids["job "+r.ID] = true
		f.out.jobs = append(f.out.jobs, r)
		c.add(folderJobs, "due:"+r.ID, events.ListDue{Assembly: ref.Assembly, NewJob: ref.Job, Kind: jobKind(r.Kind), Due: due, Earliest: r.Earliest,
			List: fmt.Sprintf("jobs.csv row %d", r.Line), Standing: standingOf(r.Standing), LastTest: lastPassed[r.AssemblyID]})
		if r.Notes != "" {
			c.add(folderFailures, "notes:"+r.ID, events.QuestionJob{JobRef: ref, Words: r.Notes})
		}
		if r.Stage != "" && r.Stage != string(events.StageDue) {
			f.failure(c, r, ref)
		}
	})
}

// jobDue is the due date of a row; of a failure without one, the day it was owed from then on.
func (c *rowCheck) jobDue(r plain.Job) events.Date {
	failed := r.Stage != "" && r.Stage != string(events.StageDue)
	if failed && r.FailedOn.IsZero() {
		c.fault("failed_on", "", "is blank, but the stage says that it failed", "write the day of the test that failed")
	}
	if r.Stage == string(events.StagePartsPending) && len(r.NeedsKitCodes) == 0 {
		c.fault("needs_kit_codes", "", "is blank, but the stage says that parts are awaited", "write the codes of the repair kits, separated by semicolons")
	}
	due := r.Due
	if due.IsZero() && failed {
		due = r.FailedOn
	}
	if due.IsZero() {
		c.fault("due", "", "is blank", "ask the purveyor when it is due; not known is not the same as no deadline")
	}
	return due
}

func jobKind(kind string) events.JobKind {
	if kind == "annual" {
		return events.AnnualTest
	}
	return events.JobKind(kind)
}

func standingOf(text string) events.Standing {
	if text == "" {
		return events.Ask
	}
	return events.Standing(text)
}

// failure brings a job to its stage after a failed test. What the log has seen of the job since is left to it.
func (f *folding) failure(c *rowCheck, r plain.Job, ref events.JobRef) {
	job := f.jobOnRecord(ref)
	switch {
	case job == nil, job.Stage == events.StageDue && len(job.Attempts) == 0:
		job = &events.Job{}
		c.add(folderFailures, "failed:"+r.ID, events.CarryOver{JobRef: ref, FailedOn: r.FailedOn, RetestBy: r.RetestBy,
			Words: "failed before, as listed in jobs.csv"})
	case job.Failure == nil || job.Failure.On != r.FailedOn || !job.NeedsRepair():
		return
	}
	if yes(r.RepairAuthorised) && job.Yes == nil {
		c.add(folderParts, "yes:"+r.ID, events.SayYesToRepair{JobRef: ref, RepairYes: events.RepairYes{Basis: "as listed in jobs.csv", On: r.FailedOn}})
	}
	parts, items, where := f.partsOf(r)
	if len(parts) > 0 && len(job.Parts) == 0 {
		c.add(folderParts, "parts:"+r.ID, events.WantParts{JobRef: ref, Parts: parts})
	}
	if r.Stage == string(events.StagePartsReady) && job.Stage != events.StagePartsReady {
		c.add(folderReady, "ready:"+r.ID, events.ReadyParts{JobRef: ref, Where: where, Items: items})
	}
}

func (f *folding) jobOnRecord(ref events.JobRef) *events.Job {
	if a := f.known.Assemblies[ref.Assembly]; a != nil {
		return a.Job(ref.Job)
	}
	return nil
}

// partsOf are the kits a job wants, when they are promised, and which are reserved for it, in the order wanted.
func (f *folding) partsOf(r plain.Job) (parts []events.PartWanted, items []events.KitID, where string) {
	used := map[string]bool{}
	whole := true
	for _, code := range r.NeedsKitCodes {
		part := events.PartWanted{Code: code}
		i := slices.IndexFunc(f.fleet.Kits, func(k plain.RepairKit) bool { return k.ForJob == r.ID && k.Code == code && !used[k.ID] })
		if i < 0 {
			whole = false
			parts = append(parts, part)
			continue
		}
		kit := f.fleet.Kits[i]
		used[kit.ID] = true
		if kit.State == "promised" || kit.State == "ordered" {
			part.Promised = kit.PromisedOn
		}
		if whole = whole && f.ids["kit "+kit.ID]; whole {
			items = append(items, events.KitID(kit.ID))
		}
		if where == "" {
			where = kit.Where
		}
		parts = append(parts, part)
	}
	return parts, items, where
}
