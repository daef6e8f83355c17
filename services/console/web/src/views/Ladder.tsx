import { address } from "../route";
import { daysLeft } from "../time";
import type { BacklogRow, WaitsFor } from "../types";
import { Picture } from "../ui/Picture";
import { words } from "../words";

const pitch = 26;
const axis = 28;
const far = 45; // days past which marks gather at the edge

/**
 * A ladder of days: where each failed assembly stands between its deadline
 * (the thick line) and the days left to it. The shape says what it waits for;
 * the outline is closed when a visit before the deadline is planned.
 */
export function Ladder(props: { rows: BacklogRow[]; chosen: string | null }) {
  const known = props.rows.filter((row) => row.days_left !== undefined);
  const unknown = props.rows.filter((row) => row.days_left === undefined);
  const columns = stack(known);
  const first = Math.min(-3, ...columns.map(([day]) => day));
  const last = Math.max(14, ...columns.map(([day]) => day));
  const most = Math.max(3, unknown.length > 0 ? unknown.length : 0, ...columns.map(([, rows]) => rows.length));
  const height = most * pitch + axis + 12;
  const base = height - axis;
  const left = unknown.length > 0 ? 110 : 16;
  const ticks: number[] = [];
  for (let day = first; day <= last; day++) if (day % 7 === 0 || (last - first <= 21 && day % 2 === 0)) ticks.push(day);
  return (
    <>
      <Picture class="ladder" interactive label={words.backlog.ladder} height={height} minWidth={Math.max(640, left + (last - first + 1) * pitch)}>
        {(width) => {
          // Marks from the deadline's own day on stand clear of its thick line.
          const x = (day: number) => left + pitch / 2 + (day >= 0 ? 14 : 0) + ((day - first) / (last - first)) * (width - left - pitch - 22);
          return (
            <>
              <line class="grid" x1={left} x2={width} y1={base} y2={base} />
              {ticks.map((day) => (
                <g key={day}>
                  <line class="grid" x1={x(day)} x2={x(day)} y1={base} y2={base + 5} />
                  <text class="soft-text" x={x(day)} y={base + 18} text-anchor="middle">{day === 0 ? words.backlog.deadlineMark : day}</text>
                </g>
              ))}
              <line class="zero" x1={x(0) - 14} x2={x(0) - 14} y1={4} y2={base} />
              {columns.flatMap(([day, rows]) => rows.map((row, i) => (
                <Mark key={`${row.assembly} ${row.job}`} row={row} x={x(day)} y={base - pitch * (i + 0.5) - 2} chosen={row.assembly === props.chosen} />
              )))}
              {unknown.length > 0 && <text class="soft-text" x={0} y={base + 18}>{words.backlog.unknown}</text>}
              {unknown.map((row, i) => <Mark key={`${row.assembly} ${row.job}`} row={row} x={24} y={base - pitch * (i + 0.5) - 2} chosen={row.assembly === props.chosen} />)}
            </>
          );
        }}
      </Picture>
      <ul class="key">
        {(Object.keys(shapes) as WaitsFor[]).map((kind) => (
          <li key={kind}><svg class="picture ladder" style="display:inline;width:20px" width="20" height="20" aria-hidden="true"><path class="mark" d={shapes[kind]} transform="translate(10 10)" /></svg>{words.backlog.waits[kind]}</li>
        ))}
        <li><svg class="picture ladder" style="display:inline;width:20px" width="20" height="20" aria-hidden="true"><path class="mark" pathLength={100} d={shapes.slot} transform="translate(10 10)" /></svg>{words.backlog.closed}</li>
        <li><svg class="picture ladder" style="display:inline;width:20px" width="20" height="20" aria-hidden="true"><path class="mark open" pathLength={100} d={shapes.slot} transform="translate(10 10)" /></svg>{words.backlog.open}</li>
      </ul>
    </>
  );
}

/** Outlines about 16 px across, around 0,0. */
const shapes: Record<WaitsFor, string> = {
  parts: "M-7,-7H7V7H-7Z",
  access: "M0,-8L8,7H-8Z",
  slot: "M0,-7.5A7.5,7.5 0 1 1 -0.01,-7.5Z",
  owner: "M0,-9L9,0L0,9L-9,0Z",
  way: "M-3,-8H3V-3H8V3H3V8H-3V3H-8V-3H-3Z",
  purveyor: "M-4,-7.5H4L8.5,0L4,7.5H-4L-8.5,0Z",
};

function Mark(props: { row: BacklogRow; x: number; y: number; chosen: boolean }) {
  const { row } = props;
  const planned = row.planned?.before_deadline ?? false;
  const name = `${row.site.name}, ${row.type}: ${daysLeft(row.days_left ?? null)}, ${row.waits_words}, ${planned ? words.backlog.closed : words.backlog.open}`;
  return (
    <a href={address("backlog", row.assembly)} aria-label={name}>
      <title>{name}</title>
      <g transform={`translate(${props.x} ${props.y})`}>
        <rect x="-12" y="-12" width="24" height="24" fill="transparent" />
        <path class={`mark ${planned ? "" : "open"} ${props.chosen ? "chosen" : ""}`} pathLength={100} d={shapes[row.waits_for] ?? shapes.slot} />
      </g>
    </a>
  );
}

/** Rows by days left, far ones gathered at the edges, in ascending order. */
export function stack(rows: BacklogRow[]): [number, BacklogRow[]][] {
  const columns = new Map<number, BacklogRow[]>();
  for (const row of rows) {
    const day = Math.max(-far, Math.min(far, row.days_left!));
    columns.set(day, [...(columns.get(day) ?? []), row]);
  }
  return [...columns].sort(([a], [b]) => a - b);
}
