import "leaflet/dist/leaflet.css";
import L from "leaflet";
import { useEffect, useRef } from "preact/hooks";
import type { Day, Position } from "../types";
import { crewMark } from "../ui/crewmarks";
import { words } from "../words";
import { towns } from "./towns";

const at = (p: Position): L.LatLngTuple => [p.lat, p.lon];

/**
 * The same plan on plain ground: numbered stops, a line a crew with its letter,
 * pattern and direction; what is left out as hollow squares. The lists beside
 * it say the same, so the marks are not in the tab order.
 */
export function DayMap(props: { day: Day; chosen: string | null; choose: (visit: string) => void }) {
  const box = useRef<HTMLDivElement>(null);
  const map = useRef<L.Map | null>(null);
  const layer = useRef<L.LayerGroup | null>(null);
  const fitted = useRef("");
  const choose = useRef(props.choose);
  choose.current = props.choose;

  useEffect(() => {
    if (!box.current) return;
    const made = L.map(box.current, { attributionControl: false, zoomControl: true, zoomSnap: 0.25, keyboard: true, zoomAnimation: false, fadeAnimation: false });
    made.setView([0, 0], 2);
    L.control.scale({ imperial: true, metric: true }).addTo(made);
    layer.current = L.layerGroup().addTo(made);
    map.current = made;
    const observer = new ResizeObserver(() => made.invalidateSize());
    observer.observe(box.current);
    return () => { observer.disconnect(); made.remove(); map.current = null; };
  }, []);

  useEffect(() => {
    if (!map.current || !layer.current) return;
    const points = draw(layer.current, props.day, props.chosen, (visit) => choose.current(visit));
    const view = `${props.day.date} ${points.length}`;
    if (points.length > 0 && fitted.current !== view) {
      map.current.fitBounds(L.latLngBounds(points), { padding: [24, 24], animate: false });
      fitted.current = view;
    }
  }, [props.day, props.chosen]);

  return <div ref={box} class="map" role="group" aria-label={words.tomorrow.map} />;
}

function draw(layer: L.LayerGroup, day: Day, chosen: string | null, choose: (visit: string) => void): L.LatLngTuple[] {
  layer.clearLayers();
  const points: L.LatLngTuple[] = [];
  (day.routes ?? []).forEach((route, n) => {
    const { colour, dash } = crewMark(n);
    const stops = (route.visits ?? []).filter((v) => v.site.position);
    const home = route.crew.home ? [at(route.crew.home)] : [];
    const line = [...home, ...stops.map((v) => at(v.site.position!)), ...home];
    if (stops.length > 0) {
      // An ink casing under the colour keeps pale colours visible on pale ground.
      L.polyline(line, { color: "#333", weight: 4.5, opacity: 0.55, interactive: false }).addTo(layer);
      L.polyline(line, { color: colour, weight: 3, dashArray: dash, lineCap: "butt", interactive: false }).addTo(layer);
      for (let i = 0; i + 1 < line.length; i++) arrow(line[i]!, line[i + 1]!)?.addTo(layer);
      points.push(...line);
    }
    for (const place of home) badge(place, route.crew.letter, "home").addTo(layer);
    for (const visit of stops) {
      const name = `${route.crew.letter}${visit.order}`;
      const mark = badge(at(visit.site.position!), name, visit.key === chosen ? "chosen" : "", colour);
      mark.bindTooltip(`${name} ${visit.site.name}`).on("click", () => choose(visit.key)).addTo(layer);
    }
  });
  for (const item of day.left_out ?? []) {
    if (!item.site.position) continue;
    badge(at(item.site.position), "", "out").bindTooltip(`${words.tomorrow.leftOut}: ${item.site.name}`).addTo(layer);
    points.push(at(item.site.position));
  }
  towns(day).forEach(({ name, middle }) => {
    L.marker(at(middle), { icon: L.divIcon({ className: "area", html: name, iconSize: [140, 16] }), interactive: false, keyboard: false, zIndexOffset: 2000 }).addTo(layer);
  });
  return points;
}

function badge(where: L.LatLngTuple, text: string, kind: string, colour?: string): L.Marker {
  const size: L.PointTuple = kind === "out" ? [10, 10] : [Math.max(24, text.length * 9 + 8), 24];
  const icon = L.divIcon({ className: `stop ${kind}`, html: text, iconSize: size });
  const mark = L.marker(where, { icon, keyboard: false, zIndexOffset: kind === "chosen" ? 1000 : kind === "home" ? 500 : kind === "out" ? -500 : 0 });
  if (colour) mark.on("add", () => mark.getElement()?.style.setProperty("border-color", colour));
  mark.on("add", () => { mark.getElement()?.setAttribute("aria-hidden", "true"); mark.getElement()?.removeAttribute("role"); });
  return mark;
}

/** A small arrow in the middle of a leg, pointing along it. */
function arrow(from: L.LatLngTuple, to: L.LatLngTuple): L.Marker | null {
  const north = to[0] - from[0];
  const east = (to[1] - from[1]) * Math.cos(((from[0] + to[0]) / 2) * (Math.PI / 180));
  if (Math.hypot(north, east) < 0.004) return null;
  const degrees = (Math.atan2(-north, east) * 180) / Math.PI;
  // As an element: the content policy lets in no style written in HTML.
  const html = document.createElement("div");
  html.className = "arrow";
  html.style.transform = `rotate(${degrees.toFixed(0)}deg)`;
  const icon = L.divIcon({ className: "", html, iconSize: [9, 10] });
  return L.marker([(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], { icon, interactive: false, keyboard: false });
}
