// Wires the gallery: cards, pictures that come and go with the view, search, sorting and filters.
// All words that come from a family go in as text.

(function () {
  const root = document.documentElement;
  const byId = (id) => document.getElementById(id);
  const data = JSON.parse(byId("data").textContent);
  const variants = data.variants;
  const SEVERITIES = ["mistake", "forbids", "warns", "notes"];
  const WORDS = [["mistake", "mistakes"], ["that forbids", "that forbid"], ["warning", "warnings"], ["note", "notes"]];
  const MARKS = ["✖", "✖", "▲", "●"];
  const BAD = 2; // rank of what was not built, whatever the reason
  const FIRST = 36; // cards that are there at once; the others follow while nothing else is to be done
  const MOST = 3000; // cards that are added unasked
  const NEAR = "600px 0px";
  const SVG = "http://www.w3.org/2000/svg";
  const list = byId("variants");
  root.classList.add("live");
  root.style.setProperty("--ratio", String(Math.min(2.6, Math.max(1.1, data.ratio))));

  function make(kind, text, className) {
    const element = document.createElement(kind);
    if (text !== undefined) element.textContent = text;
    if (className) element.className = className;
    return element;
  }

  // ------------------------------------------------------------------ pictures
  function picture(variant) {
    if (variant.picture === undefined) return make("span", "no picture", "no-picture");
    const [box, layers] = data.pictures[variant.picture];
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("viewBox", box);
    svg.setAttribute("aria-hidden", "true");
    const group = document.createElementNS(SVG, "g");
    group.setAttribute("transform", "scale(1 -1)");
    for (const [colour, shape] of layers) {
      const path = document.createElementNS(SVG, "path");
      path.setAttribute("d", data.shapes[shape]);
      path.setAttribute("fill", colour);
      group.append(path);
    }
    svg.append(group);
    return svg;
  }

  function draw(card) {
    if (!card.face.firstChild) card.face.append(picture(card.variant));
  }

  const watcher = new IntersectionObserver(
    (changes) => {
      for (const change of changes) {
        const card = cards.get(change.target);
        if (change.isIntersecting) draw(card);
        else card.face.replaceChildren();
      }
    },
    { rootMargin: NEAR }
  );

  // ------------------------------------------------------------------ cards
  const cards = new WeakMap();
  const made = new Array(variants.length);

  function address(variant, path) {
    return data.packs + "/" + encodeURIComponent(variant.name) + "/" + path;
  }

  function counts(variant) {
    const found = [0, 0, 0, 0];
    for (const place of variant.said) found[data.said[place][0]] += 1;
    return found;
  }

  function tellFindings(details, variant) {
    const summary = details.firstElementChild;
    counts(variant).forEach((n, severity) => {
      if (!n) return;
      if (summary.firstChild) summary.append(", ");
      summary.append(make("b", n + " " + WORDS[severity][n === 1 ? 0 : 1], SEVERITIES[severity]));
    });
    details.hidden = !variant.said.length;
    details.addEventListener("toggle", () => {
      if (!details.open || details.children.length > 1) return;
      const items = make("ul");
      for (const place of variant.said) {
        const [severity, check, message] = data.said[place];
        const item = make("li", message + " ", SEVERITIES[severity]);
        item.append(make("code", check));
        items.append(item);
      }
      details.append(items);
    });
  }

  function tellLinks(line, variant) {
    if (!variant.links) return;
    const links = variant.links.map((n) => data.links[n]).concat([["", "files"]]);
    for (const [path, word] of links) {
      const link = make("a", word);
      link.href = address(variant, path);
      link.setAttribute("aria-label", word + " of " + variant.name);
      line.append(link);
    }
  }

  function card(place) {
    if (made[place]) return made[place];
    const variant = variants[place];
    const element = byId("card").content.firstElementChild.cloneNode(true);
    const [face, head, state, values, figures, said, links] = element.children;
    if (variant.links && variant.links.length) {
      face.href = address(variant, data.links[variant.links[0]][0]);
      face.tabIndex = -1; // the links below lead there, too
      face.setAttribute("aria-hidden", "true");
    }
    head.append(make("bdi", variant.name));
    element.classList.toggle("bad", data.ranks[variant.status] === BAD);
    face.classList.toggle("bare", variant.picture === undefined);
    state.append("no. " + variant.number + ", ", make("b", data.statuses[variant.status]));
    if (variant.why) state.append(": " + variant.why);
    for (const [name, value] of variant.values) values.append(make("dt", data.names[name]), make("dd", value));
    figures.textContent = [variant.size, variant.mass].filter(Boolean).join(", ");
    tellFindings(said, variant);
    tellLinks(links, variant);
    cards.set(element, { face: face, variant: variant });
    watcher.observe(element);
    made[place] = element;
    return element;
  }

  // ------------------------------------------------------------------ the list
  let wanted = []; // places of variants that are to be shown, in order
  let there = 0; // how many of them have a card in the list
  let turn = 0; // a new list makes what is still to be added to the last one void

  const idle = window.requestIdleCallback || ((work) => setTimeout(() => work({ timeRemaining: () => 8 }), 16));

  function add(many) {
    const next = wanted.slice(there, there + many).map(card);
    list.append(...next);
    there += next.length;
    byId("rest").hidden = there >= wanted.length || there < MOST;
  }

  function addWhenIdle(mine) {
    idle((deadline) => {
      if (mine !== turn) return;
      do add(12);
      while (there < wanted.length && there < MOST && deadline.timeRemaining() > 4);
      if (there < wanted.length && there < MOST) addWhenIdle(mine);
      else root.dataset.filled = String(there);
    });
  }

  function show(places) {
    wanted = places;
    there = 0;
    turn += 1;
    delete root.dataset.filled;
    list.replaceChildren();
    add(FIRST);
    addWhenIdle(turn);
    byId("shown").textContent = places.length + " of " + variants.length + (variants.length === 1 ? " variant" : " variants");
    byId("none").hidden = places.length > 0;
  }

  // ------------------------------------------------------------------ searching
  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  let texts = null; // of the variants, then of the findings: made when first asked for

  function searchable() {
    if (texts) return texts;
    const shared = data.shared.flat().join(" ");
    const own = variants.map((v) =>
      plain(
        [v.name, data.statuses[v.status], v.why || "", shared, ...v.values.map(([n, value]) => data.names[n] + " " + value)]
          .join("\n")
      )
    );
    texts = { own: own, said: data.said.map(([, check, message]) => plain(check + "\n" + message)) };
    return texts;
  }

  function searched(words) {
    if (!words.length) return () => true;
    const { own, said } = searchable();
    const hits = words.map((word) => said.map((text) => text.includes(word)));
    return (place) =>
      words.every((word, k) => own[place].includes(word) || variants[place].said.some((one) => hits[k][one]));
  }

  // ------------------------------------------------------------------ sorting
  const collator = new Intl.Collator("en", { numeric: true, sensitivity: "base" });
  const byName = (a, b) => collator.compare(a.name, b.name);
  const falling = (key) => (a, b) => (b[key] || 0) - (a[key] || 0);

  function worse(a, b) {
    if (data.ranks[a.status] !== data.ranks[b.status]) return data.ranks[b.status] - data.ranks[a.status];
    const [one, other] = [counts(a), counts(b)];
    const k = one.findIndex((n, i) => n !== other[i]);
    return k < 0 ? 0 : other[k] - one[k];
  }

  const SORTS = {
    number: (a, b) => a.number - b.number,
    name: byName,
    findings: worse,
    size: falling("area"),
    mass: falling("grams"),
    time: falling("seconds"),
  };
  const orders = new Map(); // worked out once each

  function ordered(key) {
    if (!orders.has(key)) {
      const places = variants.map((_, place) => place);
      places.sort((a, b) => SORTS[key](variants[a], variants[b]) || a - b);
      orders.set(key, places);
    }
    return orders.get(key);
  }

  // ------------------------------------------------------------------ filters
  const checks = new Map(); // id → its worst severity
  const checksOf = variants.map((v) => new Set(v.said.map((place) => data.said[place][1])));
  for (const [severity, check] of data.said) checks.set(check, Math.min(severity, checks.get(check) ?? 9));

  function box(into, value, word, mark, className) {
    const label = make("label", undefined, className);
    const input = make("input");
    input.type = "checkbox";
    input.value = value;
    const many = make("span", "", "many");
    label.append(input, mark ? make("span", mark, "mark") : "", make("span", word, "word"), many);
    if (mark) label.querySelector(".mark").setAttribute("aria-hidden", "true");
    into.append(label);
    return { input: input, many: many, label: label };
  }

  const statusBoxes = data.statuses.map((word, n) => box(byId("statuses"), String(n), word));
  const total = new Map();
  for (const set of checksOf) for (const check of set) total.set(check, (total.get(check) || 0) + 1);
  const ids = [...checks.keys()].sort(
    (a, b) => checks.get(a) - checks.get(b) || total.get(b) - total.get(a) || collator.compare(a, b)
  );
  const checkBoxes = ids.map((id) => box(byId("checks"), id, id, MARKS[checks.get(id)], SEVERITIES[checks.get(id)]));
  byId("checks").parentElement.hidden = !ids.length;

  function ticked(boxes) {
    return boxes.filter((b) => b.input.checked).map((b) => b.input.value);
  }

  function tellMany(one, many) {
    one.many.textContent = String(many);
    one.label.classList.toggle("nothing", many === 0);
  }

  function apply() {
    const words = plain(byId("words").value).split(/\s+/u).filter(Boolean);
    const status = ticked(statusBoxes).map(Number);
    const finding = ticked(checkBoxes);
    const found = searched(words);
    const stands = (place) => !status.length || status.includes(variants[place].status);
    const says = (place) => !finding.length || finding.some((id) => checksOf[place].has(id));
    const byStatus = data.statuses.map(() => 0);
    const byCheck = new Map();
    const kept = [];
    // a count tells what its box would leave, given what is chosen elsewhere
    for (const place of ordered(byId("sort").value)) {
      if (!found(place)) continue;
      const [a, b] = [stands(place), says(place)];
      if (b) byStatus[variants[place].status] += 1;
      if (a) for (const id of checksOf[place]) byCheck.set(id, (byCheck.get(id) || 0) + 1);
      if (a && b) kept.push(place);
    }
    statusBoxes.forEach((one, n) => tellMany(one, byStatus[n]));
    checkBoxes.forEach((one) => tellMany(one, byCheck.get(one.input.value) || 0));
    if (byId("turned").checked) kept.reverse();
    const many = status.length + finding.length;
    byId("chosen").textContent = many ? "(" + many + " chosen)" : "";
    byId("clear").hidden = !many && !words.length;
    show(kept);
  }

  // ------------------------------------------------------------------ what is asked for stays in the address
  function keep() {
    const asked = new URLSearchParams();
    if (byId("words").value) asked.set("words", byId("words").value);
    if (byId("sort").value !== "number") asked.set("sort", byId("sort").value);
    if (byId("turned").checked) asked.set("turned", "yes");
    for (const n of ticked(statusBoxes)) asked.append("status", data.statuses[n]);
    for (const id of ticked(checkBoxes)) asked.append("finding", id);
    try {
      history.replaceState(null, "", "#" + asked);
    } catch (error) {
      // a browser that lets no page from the disk do so only forgets what was asked
    }
  }

  function recall() {
    const asked = new URLSearchParams(location.hash.slice(1));
    byId("words").value = asked.get("words") || "";
    byId("sort").value = Object.hasOwn(SORTS, asked.get("sort")) ? asked.get("sort") : "number";
    byId("turned").checked = asked.get("turned") === "yes";
    const status = asked.getAll("status");
    const finding = asked.getAll("finding");
    for (const one of statusBoxes) one.input.checked = status.includes(data.statuses[one.input.value]);
    for (const one of checkBoxes) one.input.checked = finding.includes(one.input.value);
    byId("filters").open = window.innerWidth > 640 || status.length + finding.length > 0;
  }

  function changed() {
    apply();
    keep();
  }

  byId("find").addEventListener("input", changed);
  byId("find").addEventListener("submit", (event) => event.preventDefault());
  byId("clear").addEventListener("click", () => {
    byId("words").value = "";
    for (const one of [...statusBoxes, ...checkBoxes]) one.input.checked = false;
    changed();
    byId("words").focus();
  });
  byId("more").addEventListener("click", () => {
    const first = there;
    add(200);
    (made[wanted[first]].querySelector("summary, a[href]:not([tabindex])") || byId("more")).focus();
  });
  new IntersectionObserver((seen) => {
    if (seen.some((one) => one.isIntersecting)) add(200);
  }).observe(byId("rest"));

  // ------------------------------------------------------------------ paper
  window.addEventListener("beforeprint", () => {
    add(wanted.length - there);
    for (const element of list.children) draw(cards.get(element));
  });

  recall();
  apply();
  idle(() => {
    searchable();
    ordered("name");
  });
  root.dataset.ready = "gallery";
})();
