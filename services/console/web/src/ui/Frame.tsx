import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { address } from "../route";
import type { Office } from "../types";
import { words } from "../words";
import { Pages } from "./Pages";
import { SearchBox } from "./SearchBox";

const densities = ["comfortable", "normal", "dense"] as const;

/** What stands around every office page: where you are, where you can go, and what is not there yet. */
export function Frame(props: { office: Office | null; children: ComponentChildren }) {
  return (
    <>
      <a class="skip" href="#page" onClick={(event) => { event.preventDefault(); document.getElementById("page")?.focus(); }}>{words.skip}</a>
      <header class="top">
        <span class="name">{words.app}{props.office ? ` · ${props.office.name}` : ""}</span>
        <Pages roles={props.office?.me?.roles ?? []} />
        <SearchBox />
        <Density />
        {props.office?.me && <a class="small me" href={address("me")}>{words.door.signedInAs(props.office.me.name)}</a>}
        {props.office?.notice && <p class="notice">{props.office.notice}</p>}
      </header>
      <main id="page" tabIndex={-1}>{props.children}</main>
    </>
  );
}

function Density() {
  const [density, setDensity] = useState(() => localStorage.getItem("density") ?? "normal");
  useEffect(() => {
    document.documentElement.dataset.density = density;
    localStorage.setItem("density", density);
  }, [density]);
  return (
    <label class="options small">{words.density.label}
      <select value={density} onChange={(event) => setDensity(event.currentTarget.value)}>
        {densities.map((d) => <option key={d} value={d}>{words.density[d]}</option>)}
      </select>
    </label>
  );
}
