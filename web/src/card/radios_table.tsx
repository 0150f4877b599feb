import type { CardCardAid, CardCardRadios } from "../api/generated";

export const three = (degrees: number) => String(Math.round(degrees) % 360 || 360).padStart(3, "0");

export function frequency(aid: { readonly frequency_mhz?: number; readonly frequency_khz?: number }): string {
  if (aid.frequency_mhz !== undefined) return aid.frequency_mhz.toFixed(2);
  return aid.frequency_khz === undefined ? "" : String(aid.frequency_khz);
}

function distance_by(distance: NonNullable<CardCardRadios["distance"]>): string {
  if (distance.from === "own_channel") return "own channel";
  return distance.from === "held" ? `held from NAV${distance.receiver}` : `by NAV${distance.receiver}`;
}

function Aid(props: { aid: CardCardAid }) {
  return (
    <>
      <b>{props.aid.ident}</b> {frequency(props.aid)} <span class="morse">{props.aid.morse}</span>
    </>
  );
}

/** How the sets stand: a row for each, by its name on the panel. */
export function RadiosTable(props: { radios: CardCardRadios }) {
  const { receivers, distance, adf } = props.radios;
  return (
    <table class="radios-table">
      <thead>
        <tr>
          <th scope="col">set</th>
          <th scope="col">on</th>
          <th scope="col">course</th>
          <th scope="col">standby</th>
        </tr>
      </thead>
      <tbody>
        {receivers.map((receiver) => (
          <tr class={receiver.role}>
            <th scope="row">
              NAV{receiver.number} <span>{receiver.role}</span>
            </th>
            <td>{receiver.active ? <Aid aid={receiver.active} /> : "off"}</td>
            <td>{receiver.course_deg === null ? "" : three(receiver.course_deg)}</td>
            <td>{receiver.standby && `${receiver.standby.ident} ${frequency(receiver.standby)}`}</td>
          </tr>
        ))}
        {distance?.of && (
          <tr>
            <th scope="row">DME</th>
            <td>
              <Aid aid={distance.of} />
            </td>
            <td colSpan={2}>{distance_by(distance)}</td>
          </tr>
        )}
        {adf?.aid && (
          <tr>
            <th scope="row">ADF</th>
            <td>
              <Aid aid={adf.aid} />
            </td>
            <td>{adf.card_magnetic_deg === null ? "" : `card ${three(adf.card_magnetic_deg)}`}</td>
            <td />
          </tr>
        )}
      </tbody>
    </table>
  );
}
