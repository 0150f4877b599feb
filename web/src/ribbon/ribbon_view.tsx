import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { RibbonDocument } from "../api/pictures";
import type { Axis } from "../flight/address";
import { off_axis, on_axis, seconds_at, step_at } from "../flight/along";
import type { Cursor } from "../flight/cursor";
import { HeardLane, heights_top_ft, HeightsLane, ReceiversLane, StepsLane, WindLane } from "./drawn_lanes";
import { DrawnOn } from "./drawn_on";
import { type Lanes, lanes_of } from "./lanes";
import { brought_into_view, clock_of, moved, Scale, type Span, ticks, zoomed } from "./scale";

interface Props {
  readonly ribbon: RibbonDocument;
  readonly cursor: Cursor;
  readonly axis: Axis;
  readonly set_axis: (axis: Axis) => void;
  readonly picked: number | null;
  readonly pick: (step: number | null) => void;
}

const least_span: Record<Axis, number> = { distance: 2, time: 60 };
const a_step_along: Record<Axis, number> = { distance: 1, time: 30 };

const whole_of = (ribbon: RibbonDocument, axis: Axis): Span => ({ begins: 0, ends: axis === "time" ? ribbon.time_s : ribbon.distance_nm });

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

export function RibbonView(props: Props) {
  const { ribbon, cursor, axis, set_axis, picked, pick } = props;
  const [box, width_px] = useWidth();
  const whole = useMemo(() => whole_of(ribbon, axis), [ribbon, axis]);
  const [span, set_span] = useState<Span>(whole);
  const [show_unused, set_show_unused] = useState(false);
  const lanes = useMemo(() => lanes_of(ribbon, show_unused), [ribbon, show_unused]);
  useEffect(() => set_span(whole), [whole]);

  const gutter_px = width_px < 900 ? 104 : 172;
  // Until the effect above has run, an old span may belong to the other axis.
  const seen = span.ends <= whole.ends + 1e-6 ? span : whole;
  const scale = new Scale(seen, gutter_px, Math.max(gutter_px + 50, width_px - 14));
  const on = useMemo(() => new DrawnOn(ribbon, axis, scale), [ribbon, axis, seen.begins, seen.ends, width_px]);

  const place_of = (event: { clientX: number; currentTarget: EventTarget | null }) =>
    scale.at(event.clientX - (event.currentTarget as Element).closest("svg")!.getBoundingClientRect().left);
  const zoom = (factor: number, about?: number) =>
    set_span(zoomed(seen, about ?? on_axis(ribbon.track, axis, cursor.at_nm), factor, whole, least_span[axis]));
  const go_to = (at_nm: number) => {
    cursor.move(at_nm);
    set_span(brought_into_view(seen, on_axis(ribbon.track, axis, cursor.at_nm), whole));
  };

  const on_key = (event: KeyboardEvent) => {
    const by = a_step_along[axis] * (event.shiftKey ? 10 : 1);
    const here = on_axis(ribbon.track, axis, cursor.at_nm);
    const flown = ribbon.steps.filter((step) => !step.missed);
    const current = flown.findIndex((step) => step === step_at(ribbon.steps, cursor.at_nm));
    const step_by = (count: number) => {
      const step = flown[Math.min(flown.length - 1, Math.max(0, current + count))];
      if (step) {
        pick(step.number);
        go_to(step.begins_nm);
      }
    };
    const keys: Record<string, () => void> = {
      ArrowRight: () => go_to(off_axis(ribbon.track, axis, here + by)),
      ArrowLeft: () => go_to(off_axis(ribbon.track, axis, here - by)),
      Home: () => go_to(0),
      End: () => go_to(ribbon.distance_nm),
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
        <CursorSays ribbon={ribbon} cursor={cursor} />
      </div>
      <div
        class="ribbon-box"
        ref={box}
        tabIndex={0}
        role="slider"
        aria-label="Place along the flight"
        aria-valuemin={0}
        aria-valuemax={Math.round(ribbon.distance_nm)}
        aria-valuenow={0}
        onKeyDown={on_key}
        onWheel={on_wheel}
      >
        {width_px > 0 && (
          <svg width={width_px} height={lanes.height_px} aria-hidden="true">
            <defs>
              <clipPath id="ribbon-plot">
                <rect x={gutter_px} y={0} width={scale.right_px - gutter_px + 1} height={lanes.height_px} />
              </clipPath>
              <pattern id="identifying" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                <rect class="hatch" width="1.6" height="5" />
              </pattern>
            </defs>
            <Gutter ribbon={ribbon} lanes={lanes} width_px={gutter_px} />
            <g clip-path="url(#ribbon-plot)">
              <Drawn on={on} lanes={lanes} picked={picked} pick={pick} go_to={go_to} />
            </g>
            <Pointing on={on} lanes={lanes} axis={axis} place_of={place_of} cursor={cursor} seen={seen} set_span={set_span} whole={whole} />
            <CursorLine on={on} lanes={lanes} cursor={cursor} />
          </svg>
        )}
      </div>
    </section>
  );
}

/** All that stays while the cursor moves. */
function Drawn(props: { on: DrawnOn; lanes: Lanes; picked: number | null; pick: (step: number) => void; go_to: (at_nm: number) => void }) {
  const { on, lanes, picked, pick, go_to } = props;
  return useMemo(() => {
    const picked_step = on.ribbon.steps.find((step) => step.number === picked && !step.missed);
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
          .filter((step) => !step.missed && step.begins_nm > 0)
          .map((step) => (
            <line class="step-line" x1={on.begins_px(step)} x2={on.begins_px(step)} y1={lanes.steps.top_px + lanes.steps.height_px} y2={lanes.height_px} />
          ))}
        {lanes.heard.map((lane) => (
          <HeardLane on={on} lane={lane} />
        ))}
        {lanes.receivers.map((lane) => (
          <ReceiversLane on={on} lane={lane} />
        ))}
        <HeightsLane on={on} lane={lanes.heights} />
        <WindLane on={on} lane={lanes.wind} />
        <StepsLane
          on={on}
          lane={lanes.steps}
          picked={picked}
          pick={(number) => {
            const step = on.ribbon.steps.find((one) => one.number === number);
            pick(number);
            if (step) go_to(step.begins_nm);
          }}
        />
      </>
    );
  }, [on, lanes, picked]);
}

function Gutter(props: { ribbon: RibbonDocument; lanes: Lanes; width_px: number }) {
  const { ribbon, lanes, width_px } = props;
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
      {lanes.heard.map((lane) => {
        const heard = (lane.azimuth ?? lane.distance)!;
        return (
          <g class={heard.used ? "" : "unused"}>
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

/** Takes the pointer: on the lanes it moves the cursor, on the axis it moves what is seen. */
function Pointing(props: {
  on: DrawnOn;
  lanes: Lanes;
  axis: Axis;
  place_of: (event: PointerEvent) => number;
  cursor: Cursor;
  seen: Span;
  set_span: (span: Span) => void;
  whole: Span;
}) {
  const { on, lanes, axis, place_of, cursor, seen, set_span, whole } = props;
  const held = useRef<number | null>(null);
  const move_cursor = (event: PointerEvent) => cursor.move(off_axis(on.ribbon.track, axis, place_of(event)));
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
          if (event.buttons !== 0 && held.current !== null) set_span(moved(seen, held.current - place_of(event), whole));
        }}
        onPointerUp={() => (held.current = null)}
      />
    </>
  );
}

function CursorLine(props: { on: DrawnOn; lanes: Lanes; cursor: Cursor }) {
  const { on, lanes, cursor } = props;
  const line = useRef<SVGGElement>(null);
  useLayoutEffect(
    () =>
      cursor.watch((at_nm) => {
        const x = on.px(at_nm);
        const hidden = x < on.scale.left_px - 1 || x > on.scale.right_px + 1;
        line.current?.setAttribute("transform", `translate(${x.toFixed(1)} 0)`);
        line.current?.setAttribute("visibility", hidden ? "hidden" : "visible");
        const slider = line.current?.closest("[role=slider]");
        slider?.setAttribute("aria-valuenow", at_nm.toFixed(1));
        slider?.setAttribute("aria-valuetext", place_says(on.ribbon, at_nm));
      }),
    [on, cursor],
  );
  return (
    <g class="cursor-line" ref={line}>
      <line y1={lanes.axis.height_px - 8} y2={lanes.height_px} />
      <path d={`M-5,${lanes.axis.height_px - 12}h10l-5,8z`} />
    </g>
  );
}

const place_says = (ribbon: RibbonDocument, at_nm: number) =>
  `${at_nm.toFixed(1)} NM, ${clock_of(seconds_at(ribbon.track, at_nm))}, step ${step_at(ribbon.steps, at_nm)?.number ?? "none"}`;

function CursorSays(props: { ribbon: RibbonDocument; cursor: Cursor }) {
  const { ribbon, cursor } = props;
  const output = useRef<HTMLOutputElement>(null);
  useLayoutEffect(
    () =>
      cursor.watch((at_nm) => {
        if (output.current) output.current.textContent = place_says(ribbon, at_nm);
      }),
    [ribbon, cursor],
  );
  return <output class="cursor-says" ref={output} aria-live="off" />;
}
