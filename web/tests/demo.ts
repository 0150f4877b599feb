/** The demo flight, on the day its navigation data is for. */
export const demo = { from: "XDOV", to: "XMRA", aircraft: "twin", wind: "270/20", date: "2026-11-25" } as const;
export const demo_search = "?from=XDOV&to=XMRA&aircraft=twin&wind=270/20&date=2026-11-25";
