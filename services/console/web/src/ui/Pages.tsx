import { useEffect, useState } from "preact/hooks";
import { address, path } from "../route";
import { words } from "../words";

/** The pages by when they are needed: before the day, after it, and what stays. */
export const groups = [
  [words.nav.groups.ahead, [["tomorrow", words.nav.tomorrow], ["calls", words.nav.calls], ["intake", words.nav.intake]]],
  [words.nav.groups.done, [["backlog", words.nav.backlog], ["left-off", words.nav.leftOff], ["alarms", words.nav.alarms], ["filing", words.nav.filing]]],
  [words.nav.groups.kept, [["records", words.nav.records], ["expiries", words.nav.expiries], ["settings", words.nav.settings], ["accounts", words.nav.accounts]]],
] as const;

/** Under which page an address stands in the navigation. */
export function pageOf(view: string): string {
  const under: Record<string, string> = { report: "filing", paper: "records", readings: "records", assembly: "records", site: "records", customer: "records" };
  return under[view] ?? view;
}

/** The navigation: always there on a wide screen, behind one button on a narrow one. */
export function Pages(props: { roles: string[] }) {
  const view = pageOf(path.value[0] ?? "tomorrow");
  const [open, setOpen] = useState(false);
  useEffect(() => setOpen(false), [view]);
  const mayAdmit = props.roles.some((role) => role === "administrator" || role === "dispatcher");
  const shown = groups.map(([name, links]) => [name, links.filter(([to]) => to !== "accounts" || mayAdmit)] as const);
  const here = groups.flatMap(([, links]) => [...links]).find(([to]) => to === view)?.[1];
  return (
    <nav class={`pages ${open ? "open" : ""}`} aria-label={words.nav.label}>
      <button type="button" class="pages-button" aria-expanded={open} onClick={() => setOpen(!open)}>{[words.nav.open, here].filter(Boolean).join(": ")}</button>
      <div class="groups">
        {shown.map(([name, links]) => (
          <div class="group" role="group" aria-label={name} key={name}>
            <span class="group-name" aria-hidden="true">{name}</span>
            {links.map(([to, text]) => <a key={to} href={address(to)} aria-current={view === to ? "page" : undefined} onClick={() => setOpen(false)}>{text}</a>)}
          </div>
        ))}
      </div>
    </nav>
  );
}
