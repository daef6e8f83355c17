import { useEffect, useState } from "preact/hooks";
import { api } from "../api";
import { onProgress } from "../live";
import type { Day, Progress } from "../types";
import { Picture } from "../ui/Picture";
import { words } from "../words";
import { dollars } from "./Tomorrow";

/** While planning: the cost of the best plan so far, falling, and the way to stop. */
export function Planning(props: { date: string; begun?: Progress; act: (action: () => Promise<Day>) => void }) {
  const [live, setLive] = useState<Progress | null>(null);
  useEffect(() => onProgress(props.date, setLive), [props.date]);
  const now = live ?? props.begun;
  const points = now?.cost ?? [];
  const best = points.at(-1);
  return (
    <section aria-label={words.tomorrow.planning}>
      <p role="status">
        {now ? words.tomorrow.steps[now.step] : words.tomorrow.steps.collecting}
        {now && best && <> {words.tomorrow.planningLine(Math.round(now.seconds), Math.round(now.budget_seconds), dollars(best.usd), now.visits_planned)}</>}
      </p>
      <CostLine points={points} />
      <div class="actions">
        <button type="button" class="main" onClick={() => props.act(() => api.stopPlanning(props.date))}>{words.tomorrow.stop}</button>
      </div>
    </section>
  );
}

function CostLine(props: { points: { seconds: number; usd: number }[] }) {
  const { points } = props;
  if (points.length < 2) return null;
  const height = 110;
  const costs = points.map((p) => p.usd);
  const low = Math.min(...costs), high = Math.max(...costs), end = points.at(-1)!.seconds;
  return (
    <Picture label={words.tomorrow.costLine} height={height}>
      {(whole) => {
        const width = Math.min(whole, 640);
        const x = (s: number) => 4 + (s / Math.max(end, 0.001)) * (width - 100);
        const y = (c: number) => 10 + (1 - (c - low) / Math.max(high - low, 1)) * (height - 34);
        const steps = points.map((p, i) => (i === 0 ? `M${x(p.seconds)},${y(p.usd)}` : `H${x(p.seconds)}V${y(p.usd)}`)).join("");
        return (
          <>
            <line class="grid" x1="0" x2={width - 96} y1={height - 16} y2={height - 16} />
            <path d={steps} fill="none" stroke="var(--water)" stroke-width="2" />
            <text x={x(end) + 8} y={y(costs.at(-1)!) + 4}>{dollars(costs.at(-1)!)}</text>
            <text class="soft-text" x="0" y={height - 2}>0 s</text>
            <text class="soft-text" x={x(end)} y={height - 2} text-anchor="end">{`${Math.round(end)} s`}</text>
          </>
        );
      }}
    </Picture>
  );
}
