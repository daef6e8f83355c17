import { bareClock, minutesBetween } from "../time";
import type { Otherwise, Route, Visit } from "../types";
import { Picture } from "../ui/Picture";
import { crewTitle } from "../ui/crewtitle";
import { words } from "../words";
import { hoursOf } from "./DayPicture";

const gutter = 132;
const rowHeight = 56;
const axisHeight = 24;

interface Row { id: string; letter: string; title: string; before: Visit[]; after: Visit[] }

/** A row for each crew that is on either plan, by letter. */
export function rowsOf(data: Pick<Otherwise, "before" | "after">): Row[] {
  const rows = new Map<string, Row>();
  const put = (routes: Route[] | null, side: "before" | "after") => {
    for (const route of routes ?? []) {
      const { id, letter } = route.crew;
      const row = rows.get(id) ?? { id, letter, title: crewTitle(route.crew), before: [], after: [] };
      row[side] = route.visits ?? [];
      rows.set(id, row);
    }
  };
  put(data.before, "before");
  put(data.after, "after");
  return [...rows.values()].sort((a, b) => a.letter.localeCompare(b.letter));
}

/** Two plans of a day in the same rows: the one before as dashed outlines, the one after as blocks with the water off beneath. */
export function ComparePicture(props: { data: Otherwise; zone: string; begunUntil: Map<string, string> }) {
  const { data, zone } = props;
  const hours = hoursOf({ routes: [...(data.before ?? []), ...(data.after ?? [])] });
  const rows = rowsOf(data);
  if (!hours || rows.length === 0) return null;
  const height = axisHeight + rows.length * rowHeight + 4;
  return (
    <>
      <Picture label={words.otherwise.picture} height={height} minWidth={760}>
        {(width) => {
          const x = (at: string | number) => gutter + (minutesBetween(hours.from, at) / hours.minutes) * (width - gutter - 20);
          const wide = (visit: Visit) => Math.max(6, x(visit.leave) - x(visit.arrive));
          return (
            <>
              {hours.ticks.map((tick) => (
                <g key={tick}>
                  <line class="grid" x1={x(tick)} x2={x(tick)} y1={axisHeight - 6} y2={height} />
                  <text class="soft-text" x={x(tick)} y={12} text-anchor="middle">{bareClock(tick, zone)}</text>
                </g>
              ))}
              {rows.map((row, i) => (
                <g key={row.id} transform={`translate(0 ${axisHeight + i * rowHeight})`}>
                  <line class="grid" x1={0} x2={width} y1={rowHeight} y2={rowHeight} />
                  <rect x={0.75} y={10} width={24} height={24} rx={4} class="block" />
                  <text x={12.75} y={27} text-anchor="middle" font-weight="700" font-size="14">{row.letter}</text>
                  <text x={34} y={21}>{row.title.length > 15 ? `${row.title.slice(0, 14)}…` : row.title}</text>
                  {row.after.map((visit) => (
                    <g key={visit.key}>
                      <title>{`${visit.order}. ${visit.site.name}`}</title>
                      <rect class="block" x={x(visit.arrive)} width={wide(visit)} y={12} height={24} rx={2} />
                      {begun(visit, props.begunUntil.get(row.id)) && <line class="sent" x1={x(visit.arrive)} x2={x(visit.arrive) + wide(visit)} y1={33} y2={33} />}
                      {wide(visit) > 13 && <text class="label" x={x(visit.arrive) + wide(visit) / 2} y={28} text-anchor="middle" font-weight="600">{visit.order}</text>}
                      {(visit.water_off ?? []).map((off) => <rect key={off.feed + off.from} class="off" x={x(off.from)} width={Math.max(2, x(off.to) - x(off.from))} y={44} height={6} />)}
                    </g>
                  ))}
                  {row.before.map((visit) => <rect key={visit.key} class="was" x={x(visit.arrive) - 2} width={wide(visit) + 4} y={7} height={34} rx={3} />)}
                </g>
              ))}
            </>
          );
        }}
      </Picture>
      <ul class="key">
        <li><Mark><rect class="was" x="1" y="1" width="20" height="14" rx="3" /></Mark>{words.otherwise.key.was}</li>
        <li><Mark><rect class="block" x="1" y="2" width="20" height="12" rx="2" /></Mark>{words.otherwise.key.is}</li>
        {props.begunUntil.size > 0 && <li><Mark><rect class="block" x="1" y="2" width="20" height="12" rx="2" /><line class="sent" x1="1" x2="21" y1="11" y2="11" /></Mark>{words.otherwise.key.begun}</li>}
        <li><Mark><rect class="off" x="1" y="6" width="20" height="6" /></Mark>{words.tomorrow.key.waterOff}</li>
      </ul>
    </>
  );
}

const begun = (visit: Visit, free: string | undefined) => free !== undefined && Date.parse(visit.arrive) < Date.parse(free);

const Mark = (props: { children: preact.ComponentChildren }) =>
  <svg class="picture" style="display:inline;width:22px" width="22" height="16" aria-hidden="true">{props.children}</svg>;
