import { useEffect, useState } from "preact/hooks";
import { api } from "../api";
import { stopWords } from "../stopwords";
import type { Stop, Work } from "../types";
import { workKey } from "./draft";
import { useKept } from "./kept";
import { tap } from "./phone";
import { canHash, keepPhoto, showPhoto, shownPhotos, small } from "./photos";

const w = stopWords.photo;

/** Photos of one unit: taken here, kept on the phone until they are sent. */
export function Photos(props: { work: Work; stop: Stop }) {
  const { work, stop } = props;
  const [waits, setWaits, settled] = useKept<string>(`photo ${workKey(work)}`, ""); // kept, and not said yet what it shows
  const [shows, setShows] = useState(w.what[0]!);
  const [fault, setFault] = useState(false);
  const photos = work.photos ?? [];
  useEffect(() => { for (const hash of [waits, ...photos.map((p) => p.sha256)]) if (hash) void showPhoto(hash); }, [waits, photos.length]);

  const taken = async (input: HTMLInputElement) => {
    const file = input.files?.[0];
    input.value = "";
    if (!file) return;
    setFault(false);
    try {
      setWaits(await keepPhoto(await small(file)));
    } catch {
      setFault(true);
    }
  };
  const record = () => {
    void tap(w.label(shows), { kind: "photo", site: stop.site.id, assembly: work.assembly, job: work.job, photo: { sha256: waits, shows } });
    settled();
  };

  return (
    <fieldset>
      <legend>{w.title}</legend>
      {!canHash() && <p class="small">{w.noHash}</p>}
      <ul class="photos">{photos.map((p) => <li key={p.sha256}><Picture sha256={p.sha256} shows={p.shows ?? ""} /></li>)}</ul>
      {canHash() && !waits && (
        <label class="button wide">{w.take}
          <input type="file" accept="image/*" capture="environment" class="hidden-text" onChange={(event) => void taken(event.currentTarget)} />
        </label>
      )}
      {waits && (
        <>
          <Picture sha256={waits} shows={shows} />
          <label class="field">{w.shows}
            <select value={shows} onChange={(event) => setShows(event.currentTarget.value)}>{w.what.map((x) => <option key={x}>{x}</option>)}</select>
          </label>
          <div class="actions">
            <button type="button" class="main" onClick={record}>{w.keep}</button>
            <button type="button" onClick={settled}>{w.discard}</button>
          </div>
        </>
      )}
      {fault && <p class="warn" role="alert">{w.fault}</p>}
    </fieldset>
  );
}

function Picture(props: { sha256: string; shows: string }) {
  const here = shownPhotos.value[props.sha256];
  return (
    <figure>
      <img src={here ?? api.attachmentAddress(props.sha256)} alt={w.alt(props.shows)} loading="lazy" />
      <figcaption class="small">{props.shows} · {here ? w.waiting : w.sent}</figcaption>
    </figure>
  );
}
