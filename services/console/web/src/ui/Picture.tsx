import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

/**
 * An SVG as wide as its column, drawn in real pixels so that text keeps its
 * size. The picture is one image to a screen reader: the list next to it says
 * the same.
 */
export function Picture(props: {
  label: string;
  height: number;
  minWidth?: number;
  class?: string;
  interactive?: boolean;
  /** Pointer handlers of the whole picture. */
  pointer?: { move: (event: PointerEvent) => void; end: () => void; cancel: () => void };
  children: (width: number) => ComponentChildren;
}) {
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = box.current;
    if (!element) return;
    const measure = () => setWidth(Math.max(element.clientWidth, props.minWidth ?? 0));
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [props.minWidth]);
  return (
    <div ref={box} class="scroll" tabIndex={props.minWidth && !props.interactive ? 0 : undefined} role={props.minWidth && !props.interactive ? "group" : undefined} aria-label={props.minWidth && !props.interactive ? props.label : undefined}>
      {width > 0 && (
        <svg
          class={`picture ${props.class ?? ""}`}
          width={width}
          height={props.height}
          style={{ width, height: props.height }}
          viewBox={`0 0 ${width} ${props.height}`}
          role={props.interactive ? "group" : "img"}
          aria-label={props.label}
          onPointerMove={props.pointer?.move}
          onPointerUp={props.pointer?.end}
          onPointerLeave={props.pointer?.cancel}
        >
          {props.children(width)}
        </svg>
      )}
    </div>
  );
}
