import { effect } from "@preact/signals";
import { render } from "preact";
import { api, signedOut } from "./api";
import { followVisibility, startLive } from "./live";
import { useLoaded } from "./loaded";
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

function View(props: { office: Office; parts: string[] }) {
  const [view = "tomorrow", first, ...rest] = props.parts;
  switch (view) {
    case "backlog": return <Backlog office={props.office} chosen={first ?? null} />;
    case "left-off": return <LeftOff />;
    case "alarms": return <Alarms zone={props.office.zone} />;
    case "intake": return <Intake office={props.office} list={first ?? null} />;
    case "calls": return <CallList office={props.office} weeks={Math.min(Math.max(Number(first) || 2, 1), 12)} />;
    case "records": return <Records office={props.office} parts={first === undefined ? rest : [first, ...rest]} />;
    // What the search box and links from elsewhere name by kind.
    case "customer": return <Records office={props.office} parts={["customers", first ?? ""]} />;
    case "site": return <Records office={props.office} parts={["sites", first ?? ""]} />;
    case "assembly": return <Records office={props.office} parts={["assemblies", first ?? ""]} />;
    case "filing": return <Filing office={props.office} purveyor={first ?? "all"} show={shows.find((s) => s === rest[0]) ?? "owed"} />;
    case "paper": return <PaperResult key={`${first} ${rest[0]}`} office={props.office} assembly={first ?? ""} job={rest[0] ?? ""} />;
    case "readings": return <CorrectReadings assembly={first ?? ""} job={rest[0] ?? ""} event={rest[1] ?? ""} />;
    case "report": return <Report assembly={first ?? ""} job={rest[0] ?? ""} />;
    case "settings": return <Settings office={props.office} />;
    case "expiries": return <Expiries days={Math.min(Math.max(Number(first ?? 45) || 45, 0), 1000)} />;
    case "accounts": return <Accounts office={props.office} />;
    case "me": return <Mine office={props.office} />;
    default:
      if (first && rest[0] === "otherwise") return <OtherwiseView office={props.office} date={first} />;
      return <Tomorrow office={props.office} date={first ?? props.office.tomorrow} chosen={rest[0] === "visit" ? rest[1] ?? null : null} />;
  }
}

// Whoever is not signed in, or not any more, goes to the door.
effect(() => { if (signedOut.value) location.replace("./sign-in.html"); });
followAddress();
startLive();
followVisibility();
render(<App />, document.getElementById("app")!);
