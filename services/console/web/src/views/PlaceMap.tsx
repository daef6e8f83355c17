import "leaflet/dist/leaflet.css";
import L from "leaflet";
import { useEffect, useRef } from "preact/hooks";
import { positionOf, positionText } from "../records/coordinates";
import type { Entry, Position } from "../types";
import { words } from "../words";

const most = 400;

/**
 * A small map on plain ground, to see a position and to set it by a click. The
 * field beside it says the same, so nothing on it is in the tab order.
 */
export function PlaceMap(props: { text: string; sites: Entry[]; self: string | null; near: Position | null; click: (text: string) => void }) {
  const box = useRef<HTMLDivElement>(null);
  const map = useRef<L.Map | null>(null);
  const layer = useRef<L.LayerGroup | null>(null);
  const click = useRef(props.click);
  click.current = props.click;
  const here = positionOf(props.text);
  const others = props.sites.filter((s) => s.id !== props.self && s.facts.position).slice(0, most);

  useEffect(() => {
    if (!box.current) return;
    const made = L.map(box.current, { attributionControl: false, zoomSnap: 0.25, keyboard: false, zoomAnimation: false, fadeAnimation: false, scrollWheelZoom: false });
    made.setView([0, 0], 2);
    L.control.scale({ imperial: true, metric: true }).addTo(made);
    made.on("click", (event: L.LeafletMouseEvent) => click.current(positionText({ lat: event.latlng.lat, lon: event.latlng.wrap().lng })));
    layer.current = L.layerGroup().addTo(made);
    map.current = made;
    const observer = new ResizeObserver(() => made.invalidateSize());
    observer.observe(box.current);
    return () => { observer.disconnect(); made.remove(); map.current = null; };
  }, []);

  useEffect(() => {
    if (!map.current || !layer.current) return;
    layer.current.clearLayers();
    for (const site of others) mark(site.facts.position as Position, "out", String(site.facts.name)).addTo(layer.current);
    if (here) mark(here, "here", words.records.here).addTo(layer.current);
    const bounds = map.current.getBounds();
    if (here) {
      if (!bounds.contains([here.lat, here.lon]) || map.current.getZoom() < 8) map.current.setView([here.lat, here.lon], 14, { animate: false });
    } else if (props.near) {
      map.current.setView([props.near.lat, props.near.lon], 15, { animate: false });
    } else if (others.length > 0) {
      map.current.fitBounds(L.latLngBounds(others.map((s) => [(s.facts.position as Position).lat, (s.facts.position as Position).lon])), { padding: [16, 16], animate: false });
    }
  }, [props.text, others.length, props.near?.lat, props.near?.lon]);

  return <div ref={box} class="map small-map" role="group" aria-label={words.records.positionMap} />;
}

function mark(where: Position, kind: string, name: string): L.Marker {
  const icon = L.divIcon({ className: `stop ${kind}`, iconSize: kind === "here" ? [16, 16] : [8, 8] });
  const made = L.marker([where.lat, where.lon], { icon, keyboard: false, interactive: kind !== "here", zIndexOffset: kind === "here" ? 1000 : 0 });
  if (kind !== "here") made.bindTooltip(name);
  made.on("add", () => { made.getElement()?.setAttribute("aria-hidden", "true"); made.getElement()?.removeAttribute("role"); });
  return made;
}
