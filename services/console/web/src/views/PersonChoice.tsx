import type { Choice } from "../contacts";
import { useLoaded } from "../loaded";
import { words } from "../words";

/** A person chosen from a list that is read when it is first needed; nobody is a choice as well. */
export function PersonChoice(props: { label: string; list: string; read: () => Promise<Choice[]>; value: string; change: (id: string) => void }) {
  const loaded = useLoaded(`people ${props.list}`, ["person", "site"], props.read);
  return (
    <label class="field">{props.label}
      <select value={props.value} onChange={(event) => props.change(event.currentTarget.value)}>
        <option value="">{loaded.data === null && loaded.loading ? words.states.loading : words.filing.nobody}</option>
        {(loaded.data ?? []).map(({ id, text }) => <option key={id} value={id}>{text}</option>)}
      </select>
    </label>
  );
}
