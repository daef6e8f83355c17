// The names the pages use for the shapes of the API. The shapes themselves are
// generated from the server's OpenAPI description into openapi.d.ts (`make
// types`), so that a page cannot ask for what the server does not send.
// Lists may be null: the pages read that as empty.

import type { components } from "./openapi";
import type { Criteria } from "./verdict";

type Schemas = components["schemas"];

export type Instant = string;
export type CalendarDate = string;
/** In degrees; the server sends null where a position is missing. */
export type Position = NonNullable<Schemas["WordsSite"]["position"]>;
export type Span = Schemas["WordsSpan"];

export type Office = Schemas["OfficeView"];
export type Door = Schemas["DoorView"];
export type Trust = Schemas["TrustView"];
export type Account = Schemas["AccountView"];
export type Invite = Schemas["InviteView"];
export type Phone = Schemas["PhoneView"];
export type Code = Schemas["CodeView"];
export type Session = Schemas["SigninSessionView"];
export type Crew = Schemas["WordsCrew"];
export type Site = Schemas["WordsSite"];
export type Job = Schemas["WordsJob"];
export type Visit = Schemas["WordsVisit"];
export type WaterOff = Schemas["WordsWaterOff"];

export type Day = Schemas["DispatchView"];
export type Route = Schemas["DispatchRoute"];
export type LeftOut = Schemas["DispatchLeftOut"];
export type Progress = Omit<Schemas["DispatchSearching"], "step"> & { step: string };
export type Otherwise = Schemas["DispatchOtherwise"];
export type Supposed = Schemas["DispatchSupposed"];
export type ChangeOutRequest = Omit<Schemas["ChangeOutRequest"], "command_id">;
export type WishRequest = Omit<Schemas["WishRequest"], "command_id">;

export type CrewDay = Omit<Schemas["CrewView"], "criteria"> & { criteria: Criteria };
export type Stop = Schemas["CrewStop"];
export type Feed = Schemas["CrewFeed"];
export type FireCall = Schemas["CrewFireCall"];
export type Work = Schemas["CrewWork"];
export type Component = Schemas["CrewComponent"];
export type FieldRequest = Schemas["CrewRequest"];
export type Receipt = Schemas["Receipt"];
export type Test = Schemas["EventsTest"];
export type PartWanted = Schemas["EventsPartWanted"];
export type Repaired = Schemas["EventsRepaired"];
export type ComponentRepair = Schemas["EventsComponentRepair"];
export type KitTrouble = Schemas["EventsKitTrouble"];
export type Outcome =
  | "passed" | "failed" | "repaired-and-passed" | "could-not-test" | "not-found" | "removed" | "replaced"
  | "wrong-type" | "no-access" | "owner-refused" | "ran-out-of-window";

export type Condition = Omit<Schemas["EventsCondition"], "service" | "valves"> & {
  service: "in-service" | "impaired" | "shut";
  valves: { name: string; state: "open" | "shut" | "partly" }[];
};

export type DeskRequest = Omit<Schemas["DeskRequest"], "command_id">;
export type Disuse = Schemas["DisuseView"];
export type DisuseSaid = Schemas["DisuseSaid"];
export type Bookings = Schemas["BookingsView"];
export type Booking = Schemas["BookingView"];
export type Backlog = Schemas["BacklogView"];
export type BacklogRow = Schemas["BacklogRow"];
export type PartState = Schemas["BacklogPartState"];
export type WaitsFor = BacklogRow["waits_for"];
export type History = Schemas["BacklogHistoryView"];
export type HistoryEntry = Schemas["BacklogHistoryEntry"];
export type Mend = Schemas["BacklogMend"];
export type WithdrawTimeRequest = Omit<Schemas["WithdrawTimeRequest"], "command_id">;
export type JobForm = Omit<Schemas["CrewForm"], "criteria"> & { criteria: Criteria };
export type PaperResultRequest = Schemas["PaperResultRequest"];
export type ReadingsRequest = Omit<Schemas["ReadingsRequest"], "command_id">;
export type Alarm = Schemas["CrewAlarmView"];
export type OutboxFile = Schemas["OutboxFile"];
export type TakenItem = Schemas["TakenItem"];
export type LeftOff = Schemas["BacklogLeftOff"];
export type LeftOffRow = Schemas["BacklogLeftOffRow"];
export type BulkDifferences = Schemas["BulkView"];
export type Unfilled = Schemas["BacklogUnfilled"];
export type UnfilledCustomer = Schemas["BacklogUnfilledCustomer"];
export type UnfilledFeed = Schemas["BacklogUnfilledFeed"];

export type FilingList = Schemas["PapersFilingList"];
export type FilingRow = Schemas["PapersFilingRow"];
export type Report = Schemas["PapersReport"];
export type ReportTest = Schemas["PapersReportTest"];
export type Expiries = Schemas["PapersExpiries"];
export type Expiry = Schemas["PapersExpiry"];

export type DueList = Schemas["ListView"];
export type Fault = Schemas["FaultView"];

export type RecordKind = "customers" | "sites" | "feeds" | "assemblies" | "crews" | "people" | "gauges" | "kits" | "purveyors";
/** The facts of any kind of record; which there are, each kind's fields say. */
export type Facts = Record<string, unknown>;
export type Details = Schemas["WordsDetails"];
export interface Entry { id: string; facts: Facts; details?: Details }

export type JobRequest = Omit<Schemas["JobRequest"], "command_id">;
export type Fits = Schemas["FitsView"];
export type FitsDay = Schemas["FitsDay"];
export type Fit = Schemas["FitView"];

export type CallList = Schemas["CallsView"];
export type Call = Schemas["CallsCustomer"];
export type CallSite = Schemas["CallsSite"];
export type CallRequest = Omit<Schemas["CallRequest"], "command_id">;
export type CallOutcome = CallRequest["outcome"];
export type Party = Schemas["CallsParty"];
export type PartyPlace = Schemas["CallsPlace"];
export type BookingRequest = Omit<Schemas["BookingRequest"], "command_id">;
export type BookingAnswer = BookingRequest["answer"];

export type Unplaced = Schemas["UnplacedView"];
export type PositionsRead = Schemas["PositionsView"];
export type PlaceRequest = Schemas["PlaceRequest"];

export type Hit = Schemas["SearchHit"];
export type SettingsData = Schemas["SettingsView"];
export type Setting = Schemas["PlannerExplained"];
export type LearnedTime = Schemas["LearnedView"];
