import type { PanelDocument, PanelReceiver, PanelSample } from "../api/pictures";
import type { Cursor } from "../flight/cursor";
import { clock_of } from "../flight/clock";
import { BearingPointer, CourseDeviation, Heading, HorizontalSituation } from "./instruments";
import { MarkerLights } from "./marker_lights";
import { useSample } from "./sample_watch";

function Window(props: { name: string; value: string; beside?: string; dead?: boolean }) {
  return (
    <div class={props.dead ? "window dead" : "window"}>
      <dt>{props.name}</dt>
      <dd>
        <b>{props.value}</b>
        {props.beside && <span>{props.beside}</span>}
      </dd>
    </div>
  );
}

const three = (degrees: number | null) => (degrees === null ? "---" : String(Math.round(degrees) % 360 || 360).padStart(3, "0"));

function Radios(props: { sample: PanelSample }) {
  const { dme, adf, marker, receivers } = props.sample;
  return (
    <dl class="radios">
      {receivers.map((receiver) => (
        <Window name={receiver.name} value={receiver.frequency ?? "---.--"} beside={`${receiver.tuned ?? ""} ${receiver.course_deg === null ? "" : three(receiver.course_deg)}`} dead={!receiver.heard} />
      ))}
      {dme && <Window name="DME" value={dme.shows_nm === null ? "--.-" : dme.shows_nm.toFixed(1)} beside={dme.station ?? ""} dead={dme.shows_nm === null} />}
      <Window name="Altitude" value={Math.round(props.sample.altitude_msl_ft / 10).toString() + "0"} beside="ft" />
      <Window name="Airspeed" value={Math.round(props.sample.airspeed_kt).toString()} beside="kt" />
      <Window name="Clock" value={clock_of(props.sample.at_s)} />
      {adf && <Window name="ADF" value={adf.frequency ?? "---"} beside={`${adf.station ?? ""} ${adf.relative_deg === null ? "no bearing" : `${three(adf.relative_deg)} rel`}`} dead={adf.relative_deg === null} />}
      {marker && <MarkerLights marker={marker} />}
    </dl>
  );
}

function Indicator(props: { receiver: PanelReceiver; indicator: string; sample: PanelSample }) {
  return props.indicator === "hsi" ? (
    <HorizontalSituation receiver={props.receiver} heading_deg={props.sample.heading_magnetic_deg} />
  ) : (
    <CourseDeviation receiver={props.receiver} />
  );
}

/** What the instruments of this aircraft show at the cursor. */
export function PanelView(props: { panel: Pick<PanelDocument, "instruments" | "samples">; cursor: Cursor }) {
  const { panel, cursor } = props;
  const sample = useSample(panel, cursor);
  if (!sample) return null;
  const indicator = (name: string) => panel.instruments.find((one) => one.name === name)?.indicator ?? "cdi";
  const has_situation = panel.instruments.some((one) => one.indicator === "hsi");
  // A fixed card never turns, an RMI turns itself; one turned by hand stands on the heading of the step.
  const card_deg = indicator("ADF") === "fixed_card" ? 0 : sample.heading_magnetic_deg;
  return (
    <section class="panel" aria-label="Panel">
      <div class="instruments">
        {!has_situation && <Heading heading_deg={sample.heading_magnetic_deg} />}
        {sample.receivers.map((receiver) => (
          <Indicator receiver={receiver} indicator={indicator(receiver.name)} sample={sample} />
        ))}
        {sample.adf && <BearingPointer name="ADF" station={sample.adf.station} relative_deg={sample.adf.relative_deg} card_deg={card_deg} />}
      </div>
      <div class="panel-foot">
        <Radios sample={sample} />
      </div>
      <p class="changes-next">
        {sample.changes_next ? (
          <>
            in <b>{clock_of(sample.changes_next.in_s)}</b> {sample.changes_next.says}
          </>
        ) : (
          "Nothing is about to change."
        )}
      </p>
    </section>
  );
}
