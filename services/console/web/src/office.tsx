import { effect } from "@preact/signals";
import { render, type ComponentChild } from "preact";
import { api, signedOut } from "./api";
import { followVisibility, startLive } from "./live";
import { useLoaded } from "./loaded";
import { isPage, type PageName } from "./pagelist";
import { followAddress, path } from "./route";
import "./style.css";
import "./records.css";
import "./papers.css";
import type { Office } from "./types";
import { Frame } from "./ui/Frame";
import { Shown } from "./ui/States";
import { Accounts } from "./views/Accounts";
import { Alarms } from "./views/Alarms";
import { Backlog } from "./views/Backlog";
import { CallList } from "./views/CallList";
import { CorrectReadings } from "./views/CorrectReadings";
import { Expiries } from "./views/Expiries";
import { Filing, shows } from "./views/Filing";
import { Intake } from "./views/Intake";
import { Mine } from "./views/Mine";
import { LeftOff } from "./views/LeftOff";
import { OtherwiseView } from "./views/Otherwise";
import { PaperResult } from "./views/PaperResult";
import { Records } from "./views/Records";
import { Report } from "./views/Report";
import { Settings } from "./views/Settings";
import { Tomorrow } from "./views/Tomorrow";

function App() {
  const office = useLoaded("office", ["office"], api.office);
  return (
    <Frame office={office.data}>
      <Shown loaded={office}>{(data) => <View office={data} parts={path.value} />}</Shown>
    </Frame>
  );
}

/** What an address shows, from what follows the page's name in it. */
type ViewOf = (office: Office, first: string | undefined, rest: string[]) => ComponentChild;

const views: Record<PageName, ViewOf> = {
  tomorrow: (office, first, rest) => first && rest[0] === "otherwise"
    ? <OtherwiseView office={office} date={first} />
    : <Tomorrow office={office} date={first ?? office.tomorrow} chosen={rest[0] === "visit" ? rest[1] ?? null : null} />,
  calls: (office, first) => <CallList office={office} weeks={Math.min(Math.max(Number(first) || 2, 1), 12)} />,
  intake: (office, first) => <Intake office={office} list={first ?? null} />,
  backlog: (office, first) => <Backlog office={office} chosen={first ?? null} />,
  "left-off": () => <LeftOff />,
  alarms: (office) => <Alarms zone={office.zone} />,
  filing: (office, first, rest) => <Filing office={office} purveyor={first ?? "all"} show={shows.find((s) => s === rest[0]) ?? "owed"} />,
  records: (office, first, rest) => <Records office={office} parts={first === undefined ? rest : [first, ...rest]} />,
  expiries: (_office, first) => <Expiries days={Math.min(Math.max(Number(first ?? 45) || 45, 0), 1000)} />,
  customer: (office, first) => <Records office={office} parts={["customers", first ?? ""]} />,
  site: (office, first) => <Records office={office} parts={["sites", first ?? ""]} />,
  assembly: (office, first) => <Records office={office} parts={["assemblies", first ?? ""]} />,
  paper: (office, first, rest) => <PaperResult key={`${first} ${rest[0]}`} office={office} assembly={first ?? ""} job={rest[0] ?? ""} />,
  readings: (_office, first, rest) => <CorrectReadings assembly={first ?? ""} job={rest[0] ?? ""} event={rest[1] ?? ""} />,
  settings: (office) => <Settings office={office} />,
  accounts: (office) => <Accounts office={office} />,
  me: (office) => <Mine office={office} />,
  report: (_office, first, rest) => <Report assembly={first ?? ""} job={rest[0] ?? ""} />,
};

function View(props: { office: Office; parts: string[] }) {
  const [name = "tomorrow", first, ...rest] = props.parts;
  return <>{isPage(name) ? views[name](props.office, first, rest) : views.tomorrow(props.office, first, rest)}</>;
}

// Whoever is not signed in, or not any more, goes to the door.
effect(() => { if (signedOut.value) location.replace("./sign-in.html"); });
followAddress();
startLive();
followVisibility();
render(<App />, document.getElementById("app")!);
