import { expect, it } from "vitest";
import { address_of } from "./address";
import { come_back } from "./use_address";

const flight = "?from=XDOV&to=XMRA&wind=270/20";

it("what comes back is as the address bar says, and what has not changed is the very same", () => {
  const from = address_of(`${flight}&at=37:18&step=6&seen=20-60.5&chart=40.4878,-168.6716,240&view=rehearse&flights=120`);
  const to = come_back(from, address_of(`${flight}&at=12:00&step=3&view=rehearse&flights=120`));
  expect(to).toEqual(address_of(`${flight}&at=12:00&step=3&view=rehearse&flights=120`));
  // Else the rehearsal would be flown again for a zoom that is taken back.
  expect(to.rehearsal).toBe(from.rehearsal);
  expect(to.question).toBe(from.question);
  expect(to.find).toBe(from.find);
});

it("nobody is blinded, and no time that was noted in flight is lost, unless it is of another flight", () => {
  const from = address_of(`${flight}&view=card&night&over=5@1795601730,6@1795602800`);
  const back = come_back(from, address_of(flight));
  expect(back.night).toBe(true);
  expect(back.over).toEqual(from.over);
  const other = come_back(from, address_of("?from=XDOV&to=XKEL&over=2@1795601730"));
  expect(other.night).toBe(true);
  expect(other.over).toEqual(address_of("?over=2@1795601730").over);
});
