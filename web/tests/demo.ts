/** The demo flight, on the day its navigation data is for. */
export const demo = { from: "XDOV", to: "XMRA", aircraft: "twin", wind: "270/20", date: "2026-11-25" } as const;
/** A rehearsal in a world so wrong that some of its flights do not arrive. */
export const rehearsal = { flights: 120, seed: 1, errors: "wind_kt = 30\nvor_station_deg = 3\n", fail: [], no_runway: false };
export const rehearsal_search = "&view=rehearse&flights=120&errors=wind_kt:30,vor_station_deg:3";
export const demo_search = "?from=XDOV&to=XMRA&aircraft=twin&wind=270/20&date=2026-11-25";
/** Two distances, which leave two places. */
export const find_search = "&view=find&reading=dme:XTE:16&reading=dme:XHU:20.5&height=9000";
export const find_words = ["--dme", "XTE=16", "--dme", "XHU=20.5", "--altitude", "9000", "--aircraft", demo.aircraft, "--wind", demo.wind];

/** Routes of it that are built by hand. */
export const by_hand = {
  empty: "XDOV XMRA",
  begun: "XDOV DCT XDV XMRA",
  on_airway: "XDOV DCT XDV V14 XKE XMRA",
  whole: "XDOV DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA",
} as const;
export const by_hand_search = (route: string) => `${demo_search}&route=${route.replaceAll(" ", "+")}`;
