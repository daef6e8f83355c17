import { useEffect, useState } from "preact/hooks";
import { api } from "../api";
import { onProgress } from "../live";
import type { Progress } from "../types";
import { Picture } from "../ui/Picture";
import { words } from "../words";

/** While planning: the cost of the best plan so far, falling, and the way to stop. */
export function Planning(props: { date: string; seen?: Progress[] }) {
  const [seen, setSeen] = useState<Progress[]>(props.seen ?? []);
  const [stopping, setStopping] = useState(false);
  useEffect(() => onProgress(props.date, (p) => setSeen((old) => [...old, p])), [props.date]);
  const last = seen.at(-1);
  return (
    <section aria-label={words.tomorrow.planning}>
      <p role="status">
        {last ? words.tomorrow.planningLine(Math.round(last.elapsed_s), money(last.best_cost), last.left_out) : words.tomorrow.planningStart}
      </p>
      <CostLine seen={seen} />
      <div class="actions">
        <button type="button" class="main" disabled={stopping} onClick={() => { setStopping(true); api.stopPlanning(props.date).catch(() => setStopping(false)); }}>
          {words.tomorrow.stop}
        </button>
      </div>
    </section>
  );
}

const money = (cost: number) => Math.round(cost).toLocaleString("en-GB");

function CostLine(props: { seen: Progress[] }) {
  const { seen } = props;
  if (seen.length < 2) return null;
  const height = 90;
  const costs = seen.map((p) => p.best_cost);
  const low = Math.min(...costs), high = Math.max(...costs), end = seen.at(-1)!.elapsed_s;
  return (
    <Picture label={words.tomorrow.costLine} height={height}>
      {(whole) => {
        const width = Math.min(whole, 640);
        const x = (s: number) => 4 + (s / Math.max(end, 1)) * (width - 90);
        const y = (c: number) => 8 + (1 - (c - low) / Math.max(high - low, 1)) * (height - 24);
        const steps = seen.map((p, i) => (i === 0 ? `M${x(p.elapsed_s)},${y(p.best_cost)}` : `H${x(p.elapsed_s)}V${y(p.best_cost)}`)).join("");
        return (
          <>
            <line class="grid" x1="0" x2={width - 80} y1={height - 10} y2={height - 10} />
            <path d={steps} fill="none" stroke="var(--water)" stroke-width="2" />
            <text x={x(end) + 8} y={y(costs.at(-1)!) + 4}>{money(costs.at(-1)!)}</text>
          </>
        );
      }}
    </Picture>
  );
}
