import { useState } from "preact/hooks";
import { stopWords } from "../stopwords";
import type { Stop } from "../types";
import { tap } from "./phone";

const w = stopWords.position;

/** Beyond this the phone says so: a unit is not found by it. It may be recorded all the same. */
const roughM = 100;

type State = { kind: "asked" | "reading" | "refused" } | { kind: "found"; lat: number; lon: number; metres: number };

/** Offered once for a site that has no position. What the phone says is shown with how sure it is, before it is taken. */
export function PhonePosition(props: { stop: Stop }) {
  const [state, setState] = useState<State>({ kind: "asked" });
  const read = () => {
    setState({ kind: "reading" });
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => setState({ kind: "found", lat: coords.latitude, lon: coords.longitude, metres: Math.max(1, Math.ceil(coords.accuracy)) }),
      () => setState({ kind: "refused" }),
      { enableHighAccuracy: true, timeout: 60_000, maximumAge: 0 },
    );
  };
  const take = (found: Extract<State, { kind: "found" }>) =>
    void tap(w.label(props.stop.site.name, found.metres), {
      kind: "position", site: props.stop.site.id, position: { at: { lat: found.lat, lon: found.lon }, accuracy_m: found.metres },
    });
  return (
    <div class="checks">
      <p>{w.offer} <span class="soft">{w.stand}</span></p>
      {state.kind === "reading" && <p role="status">{w.reading}</p>}
      {state.kind === "refused" && <p role="status" class="warn">{w.refused}</p>}
      {state.kind === "found" && (
        <>
          <p role="status">{state.metres > roughM ? w.rough(state.metres) : w.found(state.metres)}</p>
          <button type="button" class="main wide" onClick={() => take(state)}>{w.take}</button>
        </>
      )}
      {state.kind !== "reading" && "geolocation" in navigator && <button type="button" class="wide" onClick={read}>{w.ask}</button>}
    </div>
  );
}
