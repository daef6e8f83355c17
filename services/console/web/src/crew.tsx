import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { signedOut } from "./api";
import { DaySheet } from "./crew/DaySheet";
import { Foot } from "./crew/Foot";
import { keepPage, newer, notKept, useNewer } from "./crew/installed";
import { withTaps } from "./crew/local";
import { day, items, keptDays, lossy, office, offline, openDay, openOffice, saveOutbox, sendAgain, setAside, startPhone, stores, sync, trouble } from "./crew/phone";
import { phoneWords } from "./phonewords";
import { address, followAddress, path } from "./route";
import "./style.css";
import { clock, dayAndClock, dateIn, dayName } from "./time";
import type { Crew, Office } from "./types";
import { crewTitle } from "./ui/crewtitle";
import { Refused } from "./ui/States";
import { words } from "./words";

function App() {
  const [crew, date] = path.value;
  useEffect(() => {
    if (crew && date) void openDay(crew, date);
    else void openOffice();
  }, [crew, date]);
  const shown = day.value?.key === `day ${crew} ${date}` ? day.value : null;
  return (
    <>
      <main>
        {office.value?.notice && <p class="small soft">{office.value.notice}</p>}
        {newer.value && <p class="said" role="status">{phoneWords.newer} {phoneWords.useNote} <button type="button" onClick={() => useNewer()}>{phoneWords.useIt}</button></p>}
        {notKept.value && <p class="warn">{phoneWords.notInstalled} <a class="choice" href="./sign-in.html#/trust">{phoneWords.trust}</a></p>}
        {!crew || !date ? <ChooseCrew /> : shown
          ? <DaySheet key={shown.key} day={withTaps(shown.value, items.value)} offline={offline.value} />
          : trouble.value
            ? <Refused title={words.states.failed} sentences={trouble.value}><button type="button" onClick={() => openDay(crew, date)}>{words.states.tryAgain}</button></Refused>
            : <p class="blank" role="status">{words.states.loading}</p>}
      </main>
      <Foot items={items.value} offline={offline.value} signedOut={signedOut.value} lossy={lossy.value} stores={stores.value} zone={shown?.value.zone ?? office.value?.zone ?? "UTC"}
        again={sendAgain} aside={setAside} sendNow={() => sync()} save={saveOutbox} />
    </>
  );
}

function ChooseCrew() {
  const o = office.value;
  if (!o && signedOut.value) return <><h1>{words.door.phoneTitle}</h1><p>{words.door.phoneOut}</p></>;
  if (!o) return <p class="blank" role="status">{offline.value ? words.states.unreachable : words.states.loading}</p>;
  const own = o.me?.crew; // an enrolled phone is one crew's
  const crews = (o.crews ?? []).filter((c) => !own || c.id === own);
  return (
    <>
      <h1>{words.crew.which}</h1>
      <ul class="plain">{crews.map((c) => <CrewDays key={c.id} crew={c} office={o} />)}</ul>
    </>
  );
}

/** A crew and its two days; what is kept on the phone says since when. */
function CrewDays(props: { crew: Crew; office: Office }) {
  const { crew, office: o } = props;
  const [kept, setKept] = useState<Record<string, { now: string; zone: string }>>({});
  useEffect(() => { void keptDays(crew.id, o.today).then(setKept); }, [crew.id, o]);
  const days = [...new Set([o.today, o.tomorrow, ...Object.keys(kept)])].sort();
  return (
    <li>
      <span class="letter">{crew.letter}</span> {crewTitle(crew)}{" "}
      {days.map((d) => (
        <a key={d} class="choice" href={address(crew.id, d)}>
          <span>{dayName(d)}<span class="hidden-text"> {crewTitle(crew)}</span></span>
          {kept[d] && <span class="small soft">{phoneWords.kept(dateIn(kept[d].now, kept[d].zone) === o.today ? clock(kept[d].now, kept[d].zone) : dayAndClock(kept[d].now, kept[d].zone))}</span>}
        </a>
      ))}
    </li>
  );
}

document.body.classList.add("phone");
followAddress();
await startPhone();
render(<App />, document.getElementById("app")!);
void keepPage();
