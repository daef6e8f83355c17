import type { ComponentChildren } from "preact";
import { useId, useState } from "preact/hooks";
import { door } from "../signinwords";

/** A field with its label and, if need be, a hint that a screen reader says with it. */
export function Field(props: { label: string; hint?: string; children: (attributes: { id: string; "aria-describedby"?: string }) => ComponentChildren }) {
  const id = useId();
  return (
    <div class="entry">
      <label class="field" for={id}>{props.label}{props.children({ id, ...(props.hint && { "aria-describedby": `${id}-hint` }) })}</label>
      {props.hint && <p class="hint" id={`${id}-hint`}>{props.hint}</p>}
    </div>
  );
}

/** A new password, typed twice or shown: pasting from a password manager is welcome. */
export function NewPassword(props: { value: string; again: string; change: (value: string, again: string) => void; label?: string }) {
  const [shown, setShown] = useState(false);
  const type = shown ? "text" : "password";
  return (
    <>
      <Field label={props.label ?? door.password} hint={door.passwordHint}>
        {(a) => <input {...a} type={type as "text"} required minLength={15} autocomplete="new-password" value={props.value} onInput={(e) => props.change(e.currentTarget.value, props.again)} />}
      </Field>
      <Field label={door.again}>
        {(a) => <input {...a} type={type as "text"} required autocomplete="new-password" value={props.again} onInput={(e) => props.change(props.value, e.currentTarget.value)} />}
      </Field>
      <label class="check"><input type="checkbox" checked={shown} onChange={() => setShown(!shown)} />{door.show}</label>
    </>
  );
}
