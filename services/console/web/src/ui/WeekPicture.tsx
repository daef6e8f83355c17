import { type Week } from "../records/week";
import { words } from "../words";

const left = 28;
const width = 240;
const row = 12;

/** The windows of a week, a row a day from midnight to midnight. The words beside it say the same. */
export function WeekPicture(props: { week: Week }) {
  const at = (minute: number) => left + (minute / 1440) * width;
  const bottom = 7 * row;
  return (
    <svg class="picture week" viewBox={`0 0 ${left + width + 12} ${bottom + 16}`} width={left + width + 12} height={bottom + 16} aria-hidden="true">
      {[0, 6, 12, 18, 24].map((hour) => (
        <g key={hour}>
          <line class="grid" x1={at(hour * 60)} x2={at(hour * 60)} y1={0} y2={bottom} />
          <text class="soft-text" x={at(hour * 60)} y={bottom + 12} text-anchor="middle">{hour}</text>
        </g>
      ))}
      {words.records.weekdays.map((day, n) => <text key={day} class="soft-text" x={0} y={n * row + 10}>{day.slice(0, 2)}</text>)}
      {props.week.bars.map((bar) => <rect key={`${bar.day} ${bar.from}`} class="off" x={at(bar.from)} y={bar.day * row + 2} width={at(bar.to) - at(bar.from)} height={row - 4} />)}
    </svg>
  );
}
