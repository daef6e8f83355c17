import { useEffect, useState } from "preact/hooks";
import { phoneWords } from "../phonewords";
import { bareClock, clock, count, dateIn, dayAndClock, dayName, minutesBetween, span } from "../time";
import type { CrewDay, Outcome, Stop } from "../types";
import { crewTitle } from "../ui/crewtitle";
import { words } from "../words";
import { serverNow } from "./clock";
import { useKept } from "./kept";
import { nextStop } from "./local";
import { StopOpen } from "./StopOpen";
import { workTitle } from "./WorkForm";

/** The crew's day like a printed sheet: a numbered list, the next stop opened in place. */
export function DaySheet(props: { day: CrewDay; offline: boolean }) {
  const { day } = props;
  const stops = day.stops ?? [];
  const next = nextStop(day);
  const [opened, setOpened] = useKept<string>(`open stop ${day.crew.id} ${day.date}`, "next"); // "": every stop is folded
  const now = useNow();
  const open = opened === "next" ? next?.key : opened;
  return (
    <>
      <h1>{words.crew.title(day.crew.letter, crewTitle(day.crew), dayName(day.date))}</h1>
      <p class="soft">{[stateLine(day), phoneWords.asOf(asOf(day, now))].filter(Boolean).join(" · ")}</p>
      {props.offline && <p class="stale" role="status">{words.crew.asReadAt(asOf(day, now))}</p>}
      {stops.length === 0
        ? <p class="blank">{day.status === "sent-out" ? words.crew.noStops : words.crew.notSent}</p>
        : (
          <>
            {(day.bring ?? []).length > 0 && <p><strong>{words.crew.bringToday}</strong> {day.bring!.join(", ")}</p>}
            {day.break && <p>{words.crew.rest(minutesBetween(day.break.from, day.break.to), clock(day.break.from, day.zone), day.break.at)}</p>}
            <ol class="sheet">
              {stops.map((stop) => (
                <li key={stop.key}>
                  <button type="button" class="stop-line" aria-expanded={stop.key === open} onClick={() => setOpened(stop.key === open ? "" : stop.key)}>
                    <span class="n">{stop.order}</span>
                    <span>
                      <strong>{stop.site.name}</strong>
                      <span class="facts">{stopLine(stop, day.zone)}</span>
                      {lateLine(stop, day.zone) && <span class="facts warn">{lateLine(stop, day.zone)}</span>}
                    </span>
                  </button>
                  {stop.key === open && <StopOpen day={day} stop={stop} now={now} />}
                </li>
              ))}
            </ol>
            {!next && <p><strong>{words.crew.allDone}</strong></p>}
          </>
        )}
    </>
  );
}

/** When this was so: by the server's clock, with the date when it is not today's. */
const asOf = (day: CrewDay, now: number) =>
  dateIn(day.now, day.zone) === dateIn(now, day.zone) ? bareClock(day.now, day.zone) : dayAndClock(day.now, day.zone);

function stateLine(day: CrewDay): string {
  const stops = count((day.stops ?? []).length, "stop");
  if (day.status === "sent-out" && day.sent_at) return `${stops}, ${words.crew.sentOut(clock(day.sent_at, day.zone))}`;
  return day.status === "taken-back" ? words.crew.takenBack : "";
}

function stopLine(stop: Stop, zone: string): string {
  if (stop.left_at) return words.crew.stopLeft(clock(stop.left_at, zone), (stop.work ?? []).map((w) => `${w.type} ${words.crew.outcomes[w.outcome as Outcome] ?? words.crew.open}`).join(", "));
  const work = (stop.work ?? []).map((w) => workTitle(w)).join("; ");
  return `${span(stop.arrive, stop.leave, zone)} · ${work}`;
}

/** What the server expects of a stop that is not begun, when it is later than planned. */
function lateLine(stop: Stop, zone: string): string {
  if (!stop.late || stop.here_since || stop.left_at) return "";
  return phoneWords.lateInList(clock(stop.late.reached, zone), !stop.late.begin);
}

/** The time now, renewed often enough for minutes to be right. */
function useNow(): number {
  const [now, setNow] = useState(serverNow());
  useEffect(() => {
    const timer = setInterval(() => setNow(serverNow()), 15_000);
    return () => clearInterval(timer);
  }, []);
  return now;
}
