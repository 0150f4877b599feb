import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { RibbonDocument } from "../api/pictures";
import type { Axis, Seen } from "../flight/address";
import { Line, step_at } from "../flight/along";
import { clock_of } from "../flight/clock";
import type { Cursor } from "../flight/cursor";
import { type Deviation, DeviationLanes, has_needle, widest_nm } from "./deviation_lanes";
import { HeardLane, heights_top_ft, HeightsLane, ReceiversLane, StepsLane, WindLane } from "./drawn_lanes";
import { DrawnOn } from "./drawn_on";
import { type Lanes, lanes_of } from "./lanes";
import type { MarkerPassed } from "./markers_passed";
import { brought_into_view, moved, pinched, Scale, type Span, span_of, ticks, zoomed } from "./scale";

interface Props {
  readonly ribbon: RibbonDocument;
  readonly cursor: Cursor;
  readonly axis: Axis;
  readonly set_axis: (axis: Axis) => void;
  readonly picked: number | null;
  readonly pick: (step: number | null) => void;
  /** How a flight was held that is laid over this one. */
  readonly held?: readonly Deviation[] | undefined;
  /** The marker beacons whose lamp is lit on the way. */
  readonly passed: readonly MarkerPassed[];
  /** What is to be seen as the address bar has it; null the whole flight. */
  readonly kept: Seen | null;
  /** Told what somebody looks at when that has come to rest; null the whole flight. */
  readonly note_seen: (seen: Seen | null) => void;
}

/** Room for the names of the lanes: those of the kinds too where it is wide. */
const gutter_of = (width_px: number): number => (width_px < 900 ? 104 : 172);

const least_span: Record<Axis, number> = { distance: 2, time: 60 };
const a_step_along: Record<Axis, number> = { distance: 1, time: 30 };

const whole_of = (ribbon: RibbonDocument, axis: Axis): Span => ({ begins: 0, ends: axis === "time" ? ribbon.time_with_missed_s : ribbon.distance_with_missed_nm });

function useWidth(): [preact.RefObject<HTMLDivElement | null>, number] {
  const box = useRef<HTMLDivElement>(null);
  const [width, set_width] = useState(0);
  useLayoutEffect(() => {
    const measure = () => set_width(Math.round(box.current?.clientWidth ?? 0));
    measure();
    const observer = new ResizeObserver(measure);
    if (box.current) observer.observe(box.current);
    return () => observer.disconnect();
  }, []);
  return [box, width];
}

/** What is seen as the address bar has it. */
function seen_of(span: Span, whole: Span, axis: Axis): Seen | null {
  if (span.ends - span.begins >= whole.ends - whole.begins) return null;
  const round = (at: number) => Number(at.toFixed(axis === "time" ? 0 : 1));
  return { begins: round(span.begins), ends: round(span.ends) };
}

const same_seen = (one: Seen | null, other: Seen | null): boolean => one?.begins === other?.begins && one?.ends === other?.ends;

/** What of the flight is seen. It follows the address bar where that changes, and the address bar follows it when it has come to rest, not while it moves. */
function useSeen(whole: Span, axis: Axis, kept: Seen | null, note: Props["note_seen"]): [Span, (span: Span) => void] {
  const [span, set_span] = useState<Span>(() => span_of(kept, whole));
  const noted = useRef(kept);
  const looked = useRef(false);
  const now_note = useRef(note);
  now_note.current = note;
  const of_whole = useRef(whole);
  useLayoutEffect(() => {
    if (whole === of_whole.current && same_seen(kept, noted.current)) return;
    of_whole.current = whole;
    noted.current = kept;
    looked.current = false;
    set_span(span_of(kept, whole));
  }, [whole, kept]);
  useEffect(() => {
    const timer = window.setTimeout(() => {
      if (!looked.current) return;
      noted.current = seen_of(span, whole, axis);
      now_note.current(noted.current);
    }, 300);
    return () => clearTimeout(timer);
  }, [span.begins, span.ends, whole, axis]);
  const look = useCallback((to: Span) => {
    looked.current = true;
    set_span(to);
  }, []);
  // Until the effect above has run, an old span may belong to the other axis.
  return [span.ends <= whole.ends + 1e-6 ? span : whole, look];
}

interface Pinch {
  readonly handlers: { readonly onPointerDownCapture: (event: PointerEvent) => void; readonly onPointerMoveCapture: (event: PointerEvent) => void; readonly onPointerUpCapture: (event: PointerEvent) => void; readonly onPointerCancelCapture: (event: PointerEvent) => void };
  readonly is_under_way: () => boolean;
}

/** Two fingers on the ribbon: tells the places that they took hold of, and the pixels where they stand now. */
function usePinch(scale: Scale, act: (held: readonly [number, number], fingers_px: readonly [number, number]) => void): Pinch {
  const fingers = useRef(new Map<number, { readonly held: number; px: number }>());
  const px_of = (event: PointerEvent) => event.clientX - (event.currentTarget as Element).getBoundingClientRect().left;
  const lift = (event: PointerEvent) => void fingers.current.delete(event.pointerId);
  return {
    handlers: {
      onPointerDownCapture: (event) => {
        if (event.pointerType !== "touch") return;
        // With a second finger both take hold anew: the first may have moved the cursor.
        const down = [...fingers.current].map(([id, { px }]) => [id, { held: scale.at(px), px }] as const);
        fingers.current = new Map([...down, [event.pointerId, { held: scale.at(px_of(event)), px: px_of(event) }]]);
      },
      onPointerMoveCapture: (event) => {
        const finger = fingers.current.get(event.pointerId);
        if (!finger) return;
        finger.px = px_of(event);
        const [one, other] = [...fingers.current.values()];
        if (one && other) act([one.held, other.held], [one.px, other.px]);
      },
      onPointerUpCapture: lift,
      onPointerCancelCapture: lift,
    },
    is_under_way: () => fingers.current.size > 1,
  };
}

export function RibbonView(props: Props) {
  const { ribbon, cursor, axis, set_axis, picked, pick, held, passed, kept, note_seen } = props;
  const [box, width_px] = useWidth();
  const line = useMemo(() => new Line(ribbon), [ribbon]);
  const whole = useMemo(() => whole_of(ribbon, axis), [ribbon, axis]);
  const [seen, set_span] = useSeen(whole, axis, kept, note_seen);
  const [show_unused, set_show_unused] = useState(false);
  const lanes = useMemo(() => lanes_of(ribbon, show_unused, held ? { needle: has_needle(held) } : null), [ribbon, show_unused, held]);
  const gutter_px = gutter_of(width_px);
  const scale = new Scale(seen, gutter_px, Math.max(gutter_px + 50, width_px - 14));
  const on = useMemo(() => new DrawnOn(ribbon, axis, scale), [ribbon, axis, seen.begins, seen.ends, width_px]);

  const pinch = usePinch(scale, (held, fingers_px) => set_span(pinched(scale, held, fingers_px, whole, least_span[axis])));

  const place_of = (event: { clientX: number; currentTarget: EventTarget | null }) =>
    scale.at(event.clientX - (event.currentTarget as Element).closest("svg")!.getBoundingClientRect().left);
  const zoom = (factor: number, about?: number) =>
    set_span(zoomed(seen, about ?? line.on_axis(axis, cursor.at_s), factor, whole, least_span[axis]));
  const go_to = (at_s: number) => {
    cursor.move(at_s);
    set_span(brought_into_view(seen, line.on_axis(axis, cursor.at_s), whole));
  };

  const on_key = (event: KeyboardEvent) => {
    const by = a_step_along[axis] * (event.shiftKey ? 10 : 1);
    const here = line.on_axis(axis, cursor.at_s);
    const { steps } = ribbon;
    const current = steps.findIndex((step) => step === step_at(steps, cursor.at_s));
    const step_by = (count: number) => {
      const step = steps[Math.min(steps.length - 1, Math.max(0, current + count))];
      if (step) {
        pick(step.number);
        go_to(step.begins_s);
      }
    };
    const keys: Record<string, () => void> = {
      ArrowRight: () => go_to(line.off_axis(axis, here + by)),
      ArrowLeft: () => go_to(line.off_axis(axis, here - by)),
      Home: () => go_to(0),
      End: () => go_to(ribbon.time_with_missed_s),
      PageDown: () => step_by(1),
      PageUp: () => step_by(-1),
      "+": () => zoom(1.5),
      "=": () => zoom(1.5),
      "-": () => zoom(1 / 1.5),
      "0": () => set_span(whole),
      Escape: () => pick(null),
    };
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    act();
    event.preventDefault();
  };

  const on_wheel = (event: WheelEvent) => {
    if (event.ctrlKey) zoom(Math.exp(-event.deltaY / 200), place_of(event));
    else if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) set_span(moved(seen, event.deltaX / scale.px_per_unit, whole));
    else return;
    event.preventDefault();
  };

  return (
    <section class="ribbon" aria-label="Ribbon">
      <div class="ribbon-tools">
        <fieldset class="switch">
          <legend>Along by</legend>
          {(["distance", "time"] as const).map((one) => (
            <label>
              <input type="radio" name="axis" checked={axis === one} onChange={() => set_axis(one)} />
              <span>{one}</span>
            </label>
          ))}
        </fieldset>
        <div class="buttons" role="group" aria-label="Zoom of the ribbon">
          <button type="button" aria-label="Zoom out" onClick={() => zoom(1 / 1.5)}>
            −
          </button>
          <button type="button" aria-label="Zoom in" onClick={() => zoom(1.5)}>
            +
          </button>
          <button type="button" onClick={() => set_span(whole)}>
            whole flight
          </button>
        </div>
        {(lanes.left_out > 0 || show_unused) && (
          <label class="tick-box">
            <input type="checkbox" checked={show_unused} onChange={() => set_show_unused(!show_unused)} />
            <span>{show_unused ? "stations not used too" : `${lanes.left_out} more stations are heard`}</span>
          </label>
        )}
        <CursorSays ribbon={ribbon} line={line} cursor={cursor} />
      </div>
      <div
        class="ribbon-box"
        ref={box}
        tabIndex={0}
        role="slider"
        aria-label="Place along the flight"
        aria-valuemin={0}
        aria-valuemax={Math.round(ribbon.time_with_missed_s)}
        aria-valuenow={0}
        onKeyDown={on_key}
        onWheel={on_wheel}
        {...pinch.handlers}
      >
        {width_px > 0 && (
          <svg width={width_px} height={lanes.height_px} aria-hidden="true">
            <Plot on={on} lanes={lanes} picked={picked} pick={pick} held={held} passed={passed} />
            <Pointing on={on} lanes={lanes} axis={axis} place_of={place_of} pinching={pinch.is_under_way} cursor={cursor} seen={seen} set_span={set_span} whole={whole} />
          </svg>
        )}
        {width_px > 0 && <CursorLine on={on} lanes={lanes} cursor={cursor} />}
      </div>
    </section>
  );
}

/** The width for which it is drawn on paper, in the points of the drawing: it is as wide as what both A4 and letter leave between their margins. */
const paper_px = 700;

const lanes_on_paper = (ribbon: RibbonDocument, held: readonly Deviation[] | undefined): Lanes => lanes_of(ribbon, false, held ? { needle: has_needle(held) } : null);

export const height_on_paper_px = (ribbon: RibbonDocument, held: readonly Deviation[] | undefined): number => lanes_on_paper(ribbon, held).height_px;

/** The whole flight for a sheet of paper, with the stations that are used; on the axis that is looked at. */
export function RibbonOnPaper(props: { ribbon: RibbonDocument; axis: Axis; picked: number | null; held?: readonly Deviation[] | undefined; passed: readonly MarkerPassed[] }) {
  const { ribbon, axis, picked, held, passed } = props;
  const lanes = lanes_on_paper(ribbon, held);
  const on = new DrawnOn(ribbon, axis, new Scale(whole_of(ribbon, axis), gutter_of(paper_px), paper_px - 2));
  return (
    <div class="ribbon">
      <svg viewBox={`0 0 ${paper_px} ${lanes.height_px}`} role="img" aria-label="Ribbon">
        <Plot on={on} lanes={lanes} picked={picked} pick={() => {}} held={held} passed={passed} />
      </svg>
    </div>
  );
}

/** The names of the lanes, and right of them what is drawn on the axis. */
function Plot(props: Parameters<typeof Drawn>[0]) {
  const { on, lanes, held } = props;
  const { left_px, right_px } = on.scale;
  return (
    <>
      <defs>
        <clipPath id="ribbon-plot">
          <rect x={left_px} y={0} width={right_px - left_px + 1} height={lanes.height_px} />
        </clipPath>
        <pattern id="identifying" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <rect class="hatch" width="1.6" height="5" />
        </pattern>
      </defs>
      <Gutter ribbon={on.ribbon} lanes={lanes} width_px={left_px} held={held} />
      <g clip-path="url(#ribbon-plot)">
        <Drawn {...props} />
      </g>
    </>
  );
}

/** All that stays while the cursor moves. */
function Drawn(props: { on: DrawnOn; lanes: Lanes; picked: number | null; pick: (step: number) => void; held: readonly Deviation[] | undefined; passed: readonly MarkerPassed[] }) {
  const { on, lanes, picked, pick, held, passed } = props;
  return useMemo(() => {
    const picked_step = on.ribbon.steps.find((step) => step.number === picked);
    const missed_from = { at_nm: on.ribbon.distance_nm, at_s: on.ribbon.time_s };
    const picked_seen = picked_step && on.seen(picked_step);
    return (
      <>
        {picked_seen && (
          <rect class="picked-stretch" x={picked_seen.left} y={lanes.axis.height_px} width={Math.max(2, picked_seen.right - picked_seen.left)} height={lanes.height_px} />
        )}
        {ticks(on.scale, on.axis).map((tick) => (
          <g class="axis-tick">
            <line x1={on.scale.px(tick.at)} x2={on.scale.px(tick.at)} y1={lanes.axis.height_px - 5} y2={lanes.height_px} />
            <text x={on.scale.px(tick.at) + 4} y={13}>
              {tick.says}
            </text>
          </g>
        ))}
        {on.ribbon.steps
          .filter((step) => step.begins_s > 0)
          .map((step) => (
            <line class="step-line" x1={on.begins_px(step)} x2={on.begins_px(step)} y1={lanes.steps.top_px + lanes.steps.height_px} y2={lanes.height_px} />
          ))}
        <line class="missed-from" x1={on.at_px(missed_from)} x2={on.at_px(missed_from)} y1={lanes.axis.height_px} y2={lanes.height_px} />
        {lanes.deviation && held && <DeviationLanes on={on} lanes={lanes.deviation} deviations={held} />}
        {lanes.heard.map((lane) => (
          <HeardLane on={on} lane={lane} />
        ))}
        {lanes.receivers.map((lane) => (
          <ReceiversLane on={on} lane={lane} />
        ))}
        <HeightsLane on={on} lane={lanes.heights} held={held} passed={passed} />
        <WindLane on={on} lane={lanes.wind} />
        <StepsLane
          on={on}
          lane={lanes.steps}
          picked={picked}
          pick={pick}
        />
      </>
    );
  }, [on, lanes, picked, held, passed]);
}

function Gutter(props: { ribbon: RibbonDocument; lanes: Lanes; width_px: number; held: readonly Deviation[] | undefined }) {
  const { ribbon, lanes, width_px, held } = props;
  const wide = width_px > 150;
  return (
    <g class="gutter">
      <text class="lane-title" x={2} y={lanes.steps.top_px + 14}>
        Steps
      </text>
      <text class="kind" x={2} y={lanes.steps.top_px + 35}>
        guided by
      </text>
      <text class="kind" x={2} y={lanes.steps.top_px + 50}>
        until
      </text>
      {lanes.deviation && held && <DeviationTitles lanes={lanes.deviation} held={held} />}
      {lanes.heard.map((lane) => {
        const heard = (lane.azimuth ?? lane.distance ?? lane.glideslope)!;
        return (
          <g class={lane.used ? "" : "unused"}>
            <title>{`${heard.kind} ${heard.name} ${heard.frequency} ${heard.morse}`}</title>
            <text class="ident" x={2} y={lane.top_px + 15}>
              {lane.station}
            </text>
            <text class="figure" x={46} y={lane.top_px + 15}>
              {heard.frequency}
            </text>
            {wide && (
              <text class="kind" x={98} y={lane.top_px + 15}>
                {heard.kind}
              </text>
            )}
          </g>
        );
      })}
      {lanes.receivers.map(({ receiver, top_px }) => (
        <g>
          <text class="ident" x={2} y={top_px + 16}>
            {receiver.name}
          </text>
          {receiver.spans.some((span) => span.role === "standby") && (
            <text class="kind" x={46} y={top_px + 33}>
              standby
            </text>
          )}
        </g>
      ))}
      <text class="lane-title" x={2} y={lanes.heights.top_px + 14}>
        Heights
      </text>
      <text class="kind" x={2} y={lanes.heights.top_px + 31}>
        {`to ${heights_top_ft(ribbon).toLocaleString("en")} ft`}
      </text>
      <text class="lane-title" x={2} y={lanes.wind.top_px + 15}>
        Wind
      </text>
    </g>
  );
}

function DeviationTitles(props: { lanes: NonNullable<Lanes["deviation"]>; held: readonly Deviation[] }) {
  const titles = [
    { lane: props.lanes.aside, title: "Aside", most: `${widest_nm(props.held)} NM` },
    ...(props.lanes.needle ? [{ lane: props.lanes.needle, title: "Needle", most: "full scale" }] : []),
  ];
  return (
    <>
      {titles.map(({ lane, title, most }) => (
        <>
          <text class="lane-title" x={2} y={lane.top_px + lane.height_px / 2 + 4}>
            {title}
          </text>
          <text class="kind" x={2} y={lane.top_px + 12}>{`left ${most}`}</text>
          <text class="kind" x={2} y={lane.top_px + lane.height_px - 3}>{`right ${most}`}</text>
        </>
      ))}
    </>
  );
}

/** Takes the pointer: on the lanes it moves the cursor, on the axis it moves what is seen. */
function Pointing(props: {
  on: DrawnOn;
  lanes: Lanes;
  axis: Axis;
  place_of: (event: PointerEvent) => number;
  pinching: () => boolean;
  cursor: Cursor;
  seen: Span;
  set_span: (span: Span) => void;
  whole: Span;
}) {
  const { on, lanes, axis, place_of, pinching, cursor, seen, set_span, whole } = props;
  const held = useRef<number | null>(null);
  const move_cursor = (event: PointerEvent) => {
    if (!pinching()) cursor.move(on.line.off_axis(axis, place_of(event)));
  };
  const width = on.scale.right_px - on.scale.left_px;
  const lanes_from = lanes.steps.top_px + lanes.steps.height_px;
  return (
    <>
      <rect
        class="touch scrub"
        x={on.scale.left_px}
        y={lanes_from}
        width={width}
        height={lanes.height_px - lanes_from}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          move_cursor(event);
        }}
        onPointerMove={(event) => {
          if (event.buttons !== 0) move_cursor(event);
        }}
      />
      <rect
        class="touch pan"
        x={on.scale.left_px}
        y={0}
        width={width}
        height={lanes.axis.height_px}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          held.current = place_of(event);
        }}
        onPointerMove={(event) => {
          if (event.buttons !== 0 && held.current !== null && !pinching()) set_span(moved(seen, held.current - place_of(event), whole));
        }}
        onPointerUp={() => (held.current = null)}
      />
    </>
  );
}

/** An element of its own above the drawing: it moves without anything being drawn anew. */
function CursorLine(props: { on: DrawnOn; lanes: Lanes; cursor: Cursor }) {
  const { on, lanes, cursor } = props;
  const line = useRef<HTMLDivElement>(null);
  useLayoutEffect(
    () =>
      cursor.watch((at_s) => {
        if (!line.current) return;
        const x = on.scale.px(on.line.on_axis(on.axis, at_s));
        line.current.style.transform = `translateX(${x.toFixed(1)}px)`;
        line.current.hidden = x < on.scale.left_px - 1 || x > on.scale.right_px + 1;
        const slider = line.current.closest("[role=slider]");
        slider?.setAttribute("aria-valuenow", at_s.toFixed(0));
        slider?.setAttribute("aria-valuetext", place_says(on.ribbon, on.line, at_s));
      }),
    [on, cursor],
  );
  return (
    <div class="cursor-line" ref={line}>
      <svg width="10" height={lanes.height_px} aria-hidden="true">
        <line x1={5} x2={5} y1={lanes.axis.height_px - 8} y2={lanes.height_px} />
        <path d={`M0,${lanes.axis.height_px - 12}h10l-5,8z`} />
      </svg>
    </div>
  );
}

function place_says(ribbon: RibbonDocument, line: Line, at_s: number): string {
  return `${line.miles_at(at_s).toFixed(1)} NM, ${clock_of(at_s)}, step ${step_at(ribbon.steps, at_s)?.number ?? "none"}`;
}

function CursorSays(props: { ribbon: RibbonDocument; line: Line; cursor: Cursor }) {
  const { ribbon, line, cursor } = props;
  const output = useRef<HTMLOutputElement>(null);
  useLayoutEffect(
    () =>
      cursor.watch((at_s) => {
        if (output.current) output.current.textContent = place_says(ribbon, line, at_s);
      }),
    [ribbon, line, cursor],
  );
  return <output class="cursor-says" ref={output} aria-live="off" />;
}
