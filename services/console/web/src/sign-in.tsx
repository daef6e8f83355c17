// The door: signing in, the first start, a phone's code, and trusting the
// office's certificate. It is served to anyone, so it shows nothing of the office.

import { signal } from "@preact/signals";
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { api } from "./api";
import { useLoaded } from "./loaded";
import { address, followAddress, path, replaceAddress } from "./route";
import { EnrolPhone, SetUp, Welcome } from "./signin/SetUp";
import { In, SignIn } from "./signin/SignIn";
import { TrustPage } from "./signin/Trust";
import { door as w } from "./signinwords";
import "./style.css";
import "./records.css";
import type { Door } from "./types";
import { Shown } from "./ui/States";
import { words } from "./words";

/** What to say above the form, once: that something was done. */
const said = signal("");

function App() {
  const door = useLoaded("door", [], api.door);
  const [view = "", token = ""] = path.value;
  useEffect(() => { document.getElementById("page")?.focus(); }, [view]);
  return (
    <>
      <header class="top"><span class="name">{words.app}</span></header>
      <main id="page" tabIndex={-1}>
        {view === "trust" ? <Trust /> : <Shown loaded={door}>{(data) => <View data={data} view={view} token={token} show={door.show} />}</Shown>}
      </main>
    </>
  );
}

function Trust() {
  const loaded = useLoaded("trust", [], api.trust);
  return <><Shown loaded={loaded}>{(data) => <TrustPage data={data} />}</Shown><p class="doors"><a href={address()}>{w.title}</a></p></>;
}

function View(props: { data: Door; view: string; token: string; show: (door: Door) => void }) {
  const { data, view, token, show } = props;
  const done = (words: string, next: Door) => {
    said.value = words;
    replaceAddress();
    show(next);
  };
  if (!data.sign_in) return <><h1>{w.title}</h1><p>{w.isDemo}</p><p class="doors"><a href="./index.html">{w.toOffice}</a></p></>;
  if (view === "set-up") return <SetUp setUp={async (name, login, password) => done(w.setUpDone, await api.setUp({ token, name, login, password }))} />;
  if (!data.set_up) return <><h1>{w.setUpTitle}</h1><p>{w.setUpFirst}</p><p class="doors"><a href={address("trust")}>{w.trust}</a></p></>;
  if (view === "welcome") return <Welcome choose={async (password) => done(w.welcomeDone, await api.welcome({ token, password }))} />;
  if (view === "phone") return <EnrolPhone enrol={async (code, name) => { await api.enrolPhone({ code, name }); location.assign("./crew.html"); }} />;
  if (data.me) return <In door={data} signOut={async () => show(await api.signOut())} />;
  return <SignIn said={said.value} signIn={async (login, password) => {
    const { me } = await api.signIn({ login, password });
    // A tech who plans nothing goes to the crew's page.
    location.assign(me?.roles?.some((role) => role !== "tech") ? "./index.html" : "./crew.html");
  }} />;
}

document.body.classList.add("door");
followAddress();
render(<App />, document.getElementById("app")!);
