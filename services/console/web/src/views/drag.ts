import { useState } from "preact/hooks";
import type { Route, Visit } from "../types";

/** A visit being dragged: where it is held, and where it would be dropped. */
export interface Drag { visit: Visit; dx: number; dy: number; crew: string; letter: string; place: number }

export interface DragHandles {
  drag: Drag | null;
  start: (event: PointerEvent, visit: Visit) => void;
  move: (event: PointerEvent) => void;
  end: () => void;
  cancel: () => void;
}

const slop = 5; // pixels that are still a tap

/**
 * Dragging a visit to another row or place of the picture. Whatever can be
 * dragged can also be moved by the menu in the list; the server refuses what
 * breaks a rule.
 */
export function useDrag(routes: Route[], rowAt: (y: number) => number, middleOf: (visit: Visit) => number, drop: ((visit: Visit, crew: string, place: number) => void) | null): DragHandles {
  const [held, setHeld] = useState<{ visit: Visit; x: number; y: number } | null>(null);
  const [drag, setDrag] = useState<Drag | null>(null);
  const cancel = () => { setHeld(null); setDrag(null); };
  return {
    drag,
    cancel,
    start: (event, visit) => { if (drop && event.button === 0 && event.pointerType !== "touch") setHeld({ visit, x: event.clientX, y: event.clientY }); },
    move: (event) => {
      if (!held) return;
      const dx = event.clientX - held.x, dy = event.clientY - held.y;
      if (!drag && Math.hypot(dx, dy) < slop) return;
      const box = (event.currentTarget as Element).getBoundingClientRect();
      const route = routes[rowAt(event.clientY - box.top)];
      if (route) setDrag({ visit: held.visit, dx, dy, crew: route.crew.id, letter: route.crew.letter, place: placeIn(route, held.visit, event.clientX - box.left, middleOf) });
    },
    end: () => {
      if (drag && drop && !(drag.place === drag.visit.order && routes.some((r) => r.crew.id === drag.crew && r.visits?.includes(drag.visit)))) drop(drag.visit, drag.crew, drag.place);
      cancel();
    },
  };
}

/** The place, from 1, that a visit dropped at x would take among the others. */
export function placeIn(route: Route, dragged: Visit, x: number, middleOf: (visit: Visit) => number): number {
  return 1 + (route.visits ?? []).filter((visit) => visit.key !== dragged.key && middleOf(visit) < x).length;
}
