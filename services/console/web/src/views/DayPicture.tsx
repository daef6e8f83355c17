import { useRef } from "preact/hooks";
import { bareClock, count, distance, minutesBetween } from "../time";
import type { Day, Route, Span, Visit } from "../types";
import { Picture } from "../ui/Picture";
import { crewTitle } from "../ui/crewtitle";
import { words } from "../words";
import { windowsAround } from "./windows";
import { useDrag, type Drag, type DragHandles } from "./drag";

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
export function DayPicture(props: {
  day: Day;
  chosen: string | null;
  choose: (visit: string) => void;
  /** Drops a dragged visit; absent when the day cannot be changed. */
  drop: ((visit: Visit, crew: string, place: number) => void) | null;
}) {
  const { day } = props;
  const hours = hoursOf(day);
  const routes = day.routes ?? [];
  const scale = useRef<Scale>(() => 0);
  const drag = useDrag(
    routes,
    (y) => Math.floor((y - axisHeight) / rowHeight),
    (visit) => (scale.current(visit.arrive) + scale.current(visit.leave)) / 2,
    props.drop,
  );
  if (!hours) return null;
  const height = axisHeight + routes.length * rowHeight + 4;
  return (
    <>
      <Picture label={words.tomorrow.dayPicture} height={height} minWidth={760} pointer={drag}>
        {(width) => {
          const x = (at: string | number) => gutter + (minutesBetween(hours.from, at) / hours.minutes) * (width - gutter - 20);
          scale.current = x;
          return (
            <>
              <Hatch />
              {hours.ticks.map((tick) => (
                <g key={tick}>
                  <line class="grid" x1={x(tick)} x2={x(tick)} y1={axisHeight - 6} y2={height} />
                  <text class="soft-text" x={x(tick)} y={12} text-anchor="middle">{bareClock(tick, day.zone)}</text>
                </g>
              ))}
              {routes.map((route, row) => (
                <g key={route.crew.id} transform={`translate(0 ${axisHeight + row * rowHeight})`}>
                  <CrewRow route={route} sent={day.status === "sent-out"} width={width} x={x} chosen={props.chosen} choose={props.choose} hold={drag.start} />
                </g>
              ))}
              {drag.drag && <Ghost drag={drag.drag} x={x} row={routes.findIndex((r) => r.visits?.includes(drag.drag!.visit))} />}
            </>
          );
        }}
      </Picture>
      <DayKey />
    </>
  );
}

type Scale = (at: string | number) => number;

function CrewRow(props: { route: Route; sent: boolean; width: number; x: Scale; chosen: string | null; choose: (v: string) => void; hold: DragHandles["start"] }) {
  const { route, x } = props;
  const visits = route.visits ?? [];
  const middle = blockTop + blockHeight / 2;
  return (
    <>
      <line class="grid" x1={0} x2={props.width} y1={rowHeight} y2={rowHeight} />
      <rect x={0.75} y={blockTop} width={24} height={24} rx={4} class="block" />
      <text x={12.75} y={blockTop + 17} text-anchor="middle" font-weight="700" font-size="14">{route.crew.letter}</text>
      <text x={34} y={blockTop + 11}>{clip(crewTitle(route.crew), 15)}</text>
      <text class="soft-text" x={34} y={blockTop + 27}>{count(visits.length, "visit")}</text>
      {visits.flatMap((visit) => windowsOf(visit).map((w, i) => (
        <rect key={`${visit.key} ${i}`} class={`trough ${visit.key === props.chosen ? "mine" : ""}`} x={x(w.open)} width={Math.max(0, x(w.close) - x(w.open))} y={barTop - 3} height={barHeight + 6} />
      )))}
      {visits.map((visit) => <Travel key={visit.key} visit={visit} x={x} y={middle} />)}
      {visits.length > 0 && <line class="travel" x1={x(Date.parse(route.end) - route.home_drive_s * 1000)} x2={x(route.end)} y1={middle} y2={middle} />}
      {visits.map((visit) => <VisitBlock key={visit.key} visit={visit} x={x} sent={props.sent} chosen={visit.key === props.chosen} choose={props.choose} hold={props.hold} />)}
    </>
  );
}

function windowsOf(visit: Visit): Span[] {
  const seen = new Map<string, Span>();
  for (const off of visit.water_off ?? []) for (const w of windowsAround(off)) seen.set(w.open + w.close, w);
  return [...seen.values()];
}

/** As long as the drive; the gap that may follow is waiting. */
function Travel(props: { visit: Visit; x: Scale; y: number }) {
  const { visit, x, y } = props;
  const end = x(visit.arrive);
  const start = x(Date.parse(visit.arrive) - visit.drive_s * 1000);
  const label = distance(visit.drive_m);
  return (
    <>
      <line class="travel" x1={start} x2={end} y1={y} y2={y} />
      {end - start > label.length * 6.5 && <text class="soft-text" font-size="10" x={(start + end) / 2} y={y - 4} text-anchor="middle">{label}</text>}
    </>
  );
}

function VisitBlock(props: { visit: Visit; x: Scale; sent: boolean; chosen: boolean; choose: (v: string) => void; hold: DragHandles["start"] }) {
  const { visit, x } = props;
  const left = x(Date.parse(visit.arrive) + visit.wait_s * 1000);
  const width = Math.max(6, x(visit.leave) - left);
  const base = blockTop + blockHeight;
  return (
    <g class={`visit ${props.chosen ? "chosen" : ""}`} onClick={() => props.choose(visit.key)} onPointerDown={(event) => props.hold(event, visit)}>
      <title>{`${visit.order}. ${visit.site.name}`}</title>
      <rect class="block" x={left} y={blockTop} width={width} height={blockHeight} rx={2} />
      {props.sent && <line class="sent" x1={left} x2={left + width} y1={base - 3} y2={base - 3} />}
      {visit.hold && <path class="notch" d={`M${left},${blockTop} h9 l-9,9 z`} />}
      {width > 13 && <text class="label" x={left + width / 2} y={blockTop + 17} text-anchor="middle" font-weight="600">{visit.order}</text>}
      {(visit.water_off ?? []).map((off) => (
        <rect key={off.feed + off.from} class="off" x={x(off.from)} width={Math.max(2, x(off.to) - x(off.from))} y={barTop} height={barHeight} />
      ))}
      {visit.little_slack && <text class="warn-text" font-size="10" x={left} y={barTop + barHeight + 12}>{words.tomorrow.littleSlack}</text>}
    </g>
  );
}

/** The dragged visit under the pointer, and where it would go, in words. */
function Ghost(props: { drag: Drag; x: Scale; row: number }) {
  const { visit, dx, dy, letter, place } = props.drag;
  const left = props.x(visit.arrive) + dx;
  const top = axisHeight + props.row * rowHeight + blockTop + dy;
  return (
    <g class="ghost" pointer-events="none">
      <rect class="block" x={left} y={top} width={Math.max(6, props.x(visit.leave) - props.x(visit.arrive))} height={blockHeight} rx={2} />
      <text x={left} y={top - 6} font-weight="600">{words.tomorrow.moveTo(letter, place)}</text>
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
export function hoursOf(day: Pick<Day, "routes">): { from: number; minutes: number; ticks: number[] } | null {
  const instants = (day.routes ?? []).flatMap((route) => [route.start, route.end, ...(route.visits ?? []).flatMap((v) => [v.arrive, v.leave])]).map((at) => new Date(at).getTime());
  if (instants.length === 0) return null;
  const hour = 3_600_000;
  const from = Math.floor(Math.min(...instants) / hour) * hour;
  const to = Math.ceil(Math.max(...instants) / hour) * hour;
  const ticks = [];
  for (let at = from; at <= to; at += hour) ticks.push(at);
  return { from, minutes: (to - from) / 60_000, ticks };
}
