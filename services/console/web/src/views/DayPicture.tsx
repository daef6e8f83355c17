import { bareClock, count, distance, minutesBetween } from "../time";
import type { Day, Route, Visit } from "../types";
import { Picture } from "../ui/Picture";
import { words } from "../words";

const gutter = 132;
const rowHeight = 64;
const axisHeight = 24;
const blockTop = 8;
const blockHeight = 26;
const barTop = blockTop + blockHeight + 3;
const barHeight = 7;

/**
 * The day: a row a crew, the hours left to right. Block = visit; solid bar
 * under it = the water is off; hatched trough behind = when it may be; the
 * thin line between = travel.
 */
export function DayPicture(props: { day: Day; chosen: string | null; choose: (visit: string) => void }) {
  const { day } = props;
  const hours = hoursOf(day);
  if (!hours) return null;
  const height = axisHeight + day.crews.length * rowHeight + 4;
  return (
    <>
      <Picture label={words.tomorrow.dayPicture} height={height} minWidth={760}>
        {(width) => {
          const x = (at: string | number) => gutter + (minutesBetween(hours.from, at as string) / hours.minutes) * (width - gutter - 12);
          return (
            <>
              <Hatch />
              {hours.ticks.map((tick) => (
                <g key={tick}>
                  <line class="grid" x1={x(tick)} x2={x(tick)} y1={axisHeight - 6} y2={height} />
                  <text class="soft-text" x={x(tick)} y={12} text-anchor="middle">{bareClock(tick, day.zone)}</text>
                </g>
              ))}
              {day.crews.map((crew, row) => (
                <g key={crew.id} transform={`translate(0 ${axisHeight + row * rowHeight})`}>
                  <CrewRow crew={crew} width={width} x={x} chosen={props.chosen} choose={props.choose} />
                </g>
              ))}
            </>
          );
        }}
      </Picture>
      <DayKey />
    </>
  );
}

function CrewRow(props: { crew: Route; width: number; x: (at: string) => number; chosen: string | null; choose: (v: string) => void }) {
  const { crew, x } = props;
  return (
    <>
      <line class="grid" x1={0} x2={props.width} y1={rowHeight} y2={rowHeight} />
      <rect x={0.75} y={blockTop} width={24} height={24} rx={4} class="block" />
      <text x={12.75} y={blockTop + 17} text-anchor="middle" font-weight="700" font-size="14">{crew.letter}</text>
      <text x={34} y={blockTop + 11}>{clip(crew.name, 15)}</text>
      <text class="soft-text" x={34} y={blockTop + 27}>{count(crew.visits.length, "visit")}</text>
      {crew.visits.flatMap((visit) => visit.windows.map((w, i) => (
        <rect key={`${visit.id} ${i}`} class="trough" x={x(w.from)} width={Math.max(0, x(w.to) - x(w.from))} y={barTop - 3} height={barHeight + 6} />
      )))}
      {crew.visits.map((visit, i) => {
        const left = i === 0 ? x(crew.start) : x(crew.visits[i - 1]!.leave);
        return <Travel key={visit.id} from={left} to={x(visit.arrive)} km={visit.drive_km} minutes={visit.drive_min} x={x} visit={visit} />;
      })}
      {crew.visits.length > 0 && <line class="travel" x1={x(crew.visits.at(-1)!.leave)} x2={x(crew.end)} y1={blockTop + blockHeight / 2} y2={blockTop + blockHeight / 2} />}
      {crew.visits.map((visit) => <VisitBlock key={visit.id} visit={visit} x={x} chosen={visit.id === props.chosen} choose={props.choose} />)}
    </>
  );
}

function Travel(props: { from: number; to: number; km: number; minutes: number; x: (at: string) => number; visit: Visit }) {
  const y = blockTop + blockHeight / 2;
  // The line is as long as the drive; what is left before the visit is waiting.
  const start = Math.max(props.from, 0);
  const label = distance(props.km);
  return (
    <>
      <line class="travel" x1={start} x2={props.to} y1={y} y2={y} />
      {props.to - start > label.length * 6.5 && <text class="soft-text" font-size="10" x={(start + props.to) / 2} y={y - 4} text-anchor="middle">{label}</text>}
    </>
  );
}

function VisitBlock(props: { visit: Visit; x: (at: string) => number; chosen: boolean; choose: (v: string) => void }) {
  const { visit, x } = props;
  const left = x(visit.start);
  const width = Math.max(6, x(visit.leave) - left);
  const base = blockTop + blockHeight;
  return (
    <g class={`visit ${props.chosen ? "chosen" : ""}`} onClick={() => props.choose(visit.id)}>
      <title>{`${visit.n}. ${visit.site}`}</title>
      <rect class="block" x={left} y={blockTop} width={width} height={blockHeight} rx={2} />
      {visit.sent_out && <line class="sent" x1={left} x2={left + width} y1={base - 3} y2={base - 3} />}
      {visit.held && <path class="notch" d={`M${left},${blockTop} h9 l-9,9 z`} />}
      {width > 13 && <text class="label" x={left + width / 2} y={blockTop + 17} text-anchor="middle" font-weight="600">{visit.n}</text>}
      {visit.water_off.map((off) => (
        <rect key={off.feed + off.from} class="off" x={x(off.from)} width={Math.max(2, x(off.to) - x(off.from))} y={barTop} height={barHeight} />
      ))}
      {visit.little_slack && <text class="warn-text" font-size="10" x={left} y={barTop + barHeight + 12}>{words.tomorrow.littleSlack}</text>}
    </g>
  );
}

function Hatch() {
  return (
    <defs>
      <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line class="hatch-line" x1="0" x2="0" y1="0" y2="6" />
      </pattern>
    </defs>
  );
}

/** What the marks mean, in words. */
function DayKey() {
  const entries = [
    [<rect class="block" x="1" y="2" width="20" height="12" rx="2" />, words.tomorrow.key.visit],
    [<rect class="off" x="1" y="6" width="20" height="6" />, words.tomorrow.key.waterOff],
    [<rect class="trough" x="1" y="4" width="20" height="10" />, words.tomorrow.key.window],
    [<line class="travel" x1="1" x2="21" y1="8" y2="8" />, words.tomorrow.key.travel],
    [<><rect class="block" x="1" y="2" width="20" height="12" rx="2" /><path class="notch" d="M1,2 h8 l-8,8 z" /></>, words.tomorrow.key.held],
    [<><rect class="block" x="1" y="2" width="20" height="12" rx="2" /><line class="sent" x1="1" x2="21" y1="11" y2="11" /></>, words.tomorrow.key.sentOut],
  ] as const;
  return (
    <ul class="key">
      {entries.map(([mark, text]) => <li key={text}><svg class="picture" style="display:inline;width:22px" width="22" height="16" aria-hidden="true">{mark}</svg>{text}</li>)}
    </ul>
  );
}

const clip = (text: string, length: number) => (text.length <= length ? text : `${text.slice(0, length - 1)}…`);

/** The whole hours the picture spans. */
export function hoursOf(day: Day): { from: number; minutes: number; ticks: number[] } | null {
  const instants = day.crews.flatMap((crew) => [crew.start, crew.end, ...crew.visits.flatMap((v) => [v.arrive, v.leave])]).map((at) => new Date(at).getTime());
  if (instants.length === 0) return null;
  const hour = 3_600_000;
  const from = Math.floor(Math.min(...instants) / hour) * hour;
  const to = Math.ceil(Math.max(...instants) / hour) * hour;
  const ticks = [];
  for (let at = from; at <= to; at += hour) ticks.push(at);
  return { from, minutes: (to - from) / 60_000, ticks };
}
