// Draws what the server worked out: every element with data-chart names a block of JSON with Plotly's data and layout.
// Colours come from the stylesheet's tokens, so that charts follow light and dark.
"use strict";
(() => {
  const token = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const coloured = (value) => {
    if (typeof value === "string" && value.startsWith("--")) return token(value);
    if (Array.isArray(value)) return value.map(coloured);
    if (value && typeof value === "object") {
      return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, coloured(inner)]));
    }
    return value;
  };
  const draw = (place) => {
    const { data, layout } = JSON.parse(document.getElementById(place.dataset.chart).textContent);
    const ink = token("--ink");
    const axis = { gridcolor: token("--line"), linecolor: token("--line"), zerolinecolor: token("--soft"), automargin: true };
    const base = {
      paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)",
      font: { color: ink, family: getComputedStyle(document.body).fontFamily, size: 14 },
      margin: { l: 8, r: 8, t: 8, b: 8 }, dragmode: false,
      colorway: ["--copper", "--verdigris", "--iron", "--brass", "--lead"].map(token),
    };
    const given = coloured(layout || {});
    const whole = { ...base, ...given, xaxis: { ...axis, ...given.xaxis }, yaxis: { ...axis, ...given.yaxis } };
    Plotly.react(place, coloured(data), whole, { displayModeBar: false, responsive: true, scrollZoom: false });
  };
  const all = () => document.querySelectorAll("[data-chart]").forEach(draw);
  all();
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", all);
})();
