import type { PanelSample } from "../api/pictures";

type Marker = NonNullable<PanelSample["marker"]>;

/** The three lamps, by their letters: the back course marker lights the one of the inner. */
const lamps: ReadonlyArray<{ readonly letter: string; readonly lights: string; readonly of: ReadonlyArray<Marker["lit"]> }> = [
  { letter: "O", lights: "blue", of: ["outer"] },
  { letter: "M", lights: "amber", of: ["middle"] },
  { letter: "I", lights: "white", of: ["inner", "back_course"] },
];

/** What the marker receiver lights; the letter of a lamp that is lit stands on its colour, bold and framed. */
export function MarkerLights(props: { marker: Marker }) {
  const { lit, localizer } = props.marker;
  const says = lit === null ? "Marker lights dark" : `${lit.replace("_", " ")} marker of ${localizer}`;
  return (
    <div class="window">
      <dt>Marker</dt>
      <dd>
        <span class="marker-lights" role="img" aria-label={says}>
          {lamps.map((lamp) => (
            <span class={lit !== null && lamp.of.includes(lit) ? `lamp ${lamp.lights}` : "lamp"}>{lamp.letter}</span>
          ))}
        </span>
      </dd>
    </div>
  );
}
