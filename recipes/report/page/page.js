"use strict";
(() => {
  const all = (selector) => [...document.querySelectorAll(selector)];
  const one = (id) => document.getElementById(id);

  /* A dimension or figure names the fields behind it: copies of their lines at the foot of the page. */
  const panel = document.createElement("div");
  panel.id = "panel";
  panel.setAttribute("role", "tooltip");
  panel.hidden = true;
  document.body.append(panel);
  let shown = null;
  let waiting = 0;

  const hide = () => {
    clearTimeout(waiting);
    panel.hidden = true;
    if (shown) {
      shown.classList.remove("on");
      shown.removeAttribute("aria-describedby");
      shown = null;
    }
  };
  const place = (link) => {
    const box = link.getBoundingClientRect();
    const wide = document.documentElement.clientWidth;
    if (wide < 620) { panel.style.left = "1rem"; panel.style.top = "auto"; panel.style.bottom = "1rem"; return; }
    const below = box.bottom + 8;
    const left = Math.max(16, Math.min(box.left, wide - panel.offsetWidth - 16));
    const most = innerHeight - panel.offsetHeight - 8;
    const top = below <= most ? below : box.top - panel.offsetHeight - 8;
    panel.style.left = left + "px";
    panel.style.bottom = "auto";
    panel.style.top = Math.max(8, Math.min(top, most)) + "px";
  };
  const show = (link) => {
    clearTimeout(waiting);
    if (shown === link) return;
    hide();
    panel.replaceChildren(...link.dataset.fields.split(" ").map((id) => {
      const copy = one(id).cloneNode(true);
      copy.removeAttribute("id");
      copy.removeAttribute("tabindex");
      return copy;
    }));
    panel.hidden = false;
    shown = link;
    link.classList.add("on");
    link.setAttribute("aria-describedby", "panel");
    place(link);
  };
  const later = () => { clearTimeout(waiting); waiting = setTimeout(hide, 180); };
  for (const link of all("[data-fields]")) {
    link.addEventListener("pointerenter", (e) => { if (e.pointerType === "mouse") show(link); });
    link.addEventListener("pointerleave", (e) => { if (e.pointerType === "mouse" && document.activeElement !== link) later(); });
    link.addEventListener("focus", () => show(link));
    link.addEventListener("blur", later);
    link.addEventListener("click", (e) => { e.preventDefault(); show(link); });
  }
  panel.addEventListener("pointerenter", () => clearTimeout(waiting));
  panel.addEventListener("pointerleave", later);
  document.addEventListener("keydown", (e) => { if (e.key === "Escape") hide(); });
  document.addEventListener("pointerdown", (e) => {
    if (shown && !panel.contains(e.target) && !shown.contains(e.target)) hide();
  });
  addEventListener("scroll", () => { if (shown) place(shown); }, { passive: true });

  /* What is written stays in this browser; some forbid that for files, and then it simply does not. */
  const store = (() => { try { const s = localStorage; s.getItem("x"); return s; } catch { return null; } })();
  const name = (field) => "build-sheet/" + document.body.dataset.design + "/" + field.dataset.keep;
  const units = { "mΩ": " mOhm", "Ω": " Ohm", "MΩ": " MOhm", "°C": " degC" };
  const command = () => {
    const words = all("[data-record]").filter((f) => f.value.trim()).map((f) => {
      const unit = units[f.dataset.unit] ?? " " + f.dataset.unit;
      return `"${f.dataset.record}=${f.value.trim().replace(",", ".").replace(/["\\$`]/g, "")}${unit}"`;
    });
    one("command").textContent = words.length ? "lamwright record design.toml " + words.join(" ") : "";
    one("keep").hidden = !words.length;
  };
  const keep = (field) => {
    const value = field.type === "checkbox" ? (field.checked ? "1" : "") : field.value;
    try { if (value) store?.setItem(name(field), value); else store?.removeItem(name(field)); } catch { /* full or forbidden */ }
    command();
  };
  for (const field of all("[data-keep]")) {
    const value = store?.getItem(name(field));
    if (value) { if (field.type === "checkbox") field.checked = true; else field.value = value; }
    field.addEventListener("input", () => keep(field));
  }
  command();
  document.querySelector(".tools").hidden = false;
  one("print").addEventListener("click", () => print());
  one("forget").addEventListener("click", () => {
    for (const field of all("[data-keep]")) {
      if (field.type === "checkbox") field.checked = false; else field.value = "";
      keep(field);
    }
  });
})();
