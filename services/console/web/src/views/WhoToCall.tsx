import { whomOf, type Contact } from "../contacts";
import { words } from "../words";

/** Who is called about a fire line: the alarm company first. On the screen only: no paper bears a number. */
export function WhoToCall(props: { contacts: Contact[] }) {
  const w = words.leftOff;
  const list = whomOf(props.contacts, w.callFirst);
  if (list.length === 0) return <>{w.noContacts}</>;
  return (
    <ul class="whom">
      {list.map((one) => <li key={`${one.name} ${one.phone}`}>{one.roles.join(", ")}: {one.name}{one.phone ? <>, <a href={`tel:${one.phone.replace(/[^+\d]/g, "")}`}>{one.phone}</a></> : `, ${w.noPhone}`}</li>)}
    </ul>
  );
}
