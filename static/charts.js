// "Explore chart": loads Plotly when it is asked for and draws the figure that came with the page.
(() => {
  const style = getComputedStyle(document.documentElement);

  // Figures name the style sheet's colours: var(--c1) or var(--c1, 0.2) with an opacity.
  const colour = (name, opacity) => {
    const value = style.getPropertyValue(name).trim();
    if (!opacity) return value;
    const context = document.createElement("canvas").getContext("2d");
    context.fillStyle = value;
    return context.fillStyle + Math.round(opacity * 255).toString(16).padStart(2, "0");
  };
  const resolved = (key, value) =>
    typeof value === "string"
      ? value.replace(/^var\((--[\w-]+)(?:, ([\d.]+))?\)$/, (_, name, opacity) => colour(name, opacity))
      : value;

  // The bundle's map part would insert a style element, which the page's policy rightly blocks and
  // reports, unless an element has this id. No map is ever drawn here.
  const MAP_STYLE_ID = "9f215cf04c5486422605d13261cb87401f4e7763b6296af81e98efbc0130da53";

  let bundle;
  const load = (address) => {
    bundle ??= new Promise((done, failed) => {
      document.head.append(Object.assign(document.createElement("meta"), { id: MAP_STYLE_ID }));
      const script = document.createElement("script");
      script.src = address;
      script.onload = done;
      script.onerror = () => { bundle = undefined; failed(); };
      document.head.append(script);
    });
    return bundle;
  };

  const draw = (chart) => {
    const source = document.getElementById(chart.dataset.chart).textContent;
    const figure = JSON.parse(source, resolved);
    const place = document.createElement("div");
    place.className = "explored";
    chart.querySelector("svg").before(place);
    chart.querySelector("svg").remove();
    chart.querySelector(".key").remove();
    chart.querySelector("[data-explore-help]").hidden = false;
    return Plotly.newPlot(place, figure.data, figure.layout, { displayModeBar: false, responsive: true });
  };

  for (const button of document.querySelectorAll("[data-explore]")) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      button.disabled = true;
      button.textContent = button.dataset.loading;
      try {
        await load(button.dataset.explore);
        await draw(button.closest("[data-chart]"));
        button.remove();
      } catch {
        button.disabled = false;
        button.textContent = button.dataset.noSignal;
      }
    });
  }
})();
