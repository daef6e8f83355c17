import { render } from "preact";
import { useEffect } from "preact/hooks";
import { api } from "./api";
import { DaySheet } from "./crew/DaySheet";
import { Foot } from "./crew/Foot";
import { withTaps } from "./crew/local";
import { day, items, office, offline, openDay, sendAgain, setAside, startPhone, sync, trouble } from "./crew/phone";
import { openPhoneStore } from "./outboxdb";
import { address, followAddress, path } from "./route";
import "./style.css";
import { dayName } from "./time";
import { crewTitle } from "./ui/crewtitle";
import { Refused } from "./ui/States";
import { words } from "./words";

function App() {
  const [crew, date] = path.value;
  useEffect(() => {
    if (crew && date) void openDay(crew, date);
    else api.office().then((o) => (office.value = o), () => (offline.value = true));
  }, [crew, date]);
  const shown = day.value?.key === `day ${crew} ${date}` ? day.value : null;
  return (
    <>
      <main>
        <p class="small soft">{office.value?.notice ?? words.notice}</p>
        {!crew || !date ? <ChooseCrew /> : shown
          ? <DaySheet key={shown.key} day={withTaps(shown.value, items.value)} readAt={shown.readAt} offline={offline.value} />
          : trouble.value
            ? <Refused title={words.states.failed} sentences={trouble.value}><button type="button" onClick={() => openDay(crew, date)}>{words.states.tryAgain}</button></Refused>
            : <p class="blank" role="status">{words.states.loading}</p>}
      </main>
      <Foot items={items.value} offline={offline.value} zone={shown?.value.zone ?? "UTC"} again={sendAgain} aside={setAside} sendNow={() => sync()} />
    </>
  );
}

function ChooseCrew() {
  const o = office.value;
  if (!o) return <p class="blank" role="status">{offline.value ? words.states.unreachable : words.states.loading}</p>;
  return (
    <>
      <h1>{words.crew.which}</h1>
      <ul class="plain">
        {(o.crews ?? []).map((c) => (
          <li key={c.id}>
            <span class="letter">{c.letter}</span> {crewTitle(c)}{" "}
            {[...new Set([o.today, o.tomorrow])].map((d) => <a key={d} class="choice" href={address(c.id, d)}>{dayName(d)}<span class="hidden-text"> {crewTitle(c)}</span></a>)}
          </li>
        ))}
      </ul>
    </>
  );
}

document.body.classList.add("phone");
followAddress();
await startPhone(await openPhoneStore());
render(<App />, document.getElementById("app")!);
