// Keys of the entry grid. Without it the table is a plain form and Tab goes from box to box.
"use strict";

(() => {
  const form = document.getElementById("grid");
  const body = form.querySelector("tbody");
  const step = Number(form.dataset.step);
  let startColumn = 0; // column in which the row's typing began; Enter comes back to it
  let changed = false;

  const rows = () => [...body.rows];
  const cellsOf = (row) => [...row.querySelectorAll(".grid-cell")];
  const placeOf = (cell) => {
    const row = cell.closest("tr");
    return { row, line: rows().indexOf(row), column: cellsOf(row).indexOf(cell) };
  };
  // A box that is filled in by the sheet is passed over; arrows still reach it.
  const toFill = (cell) => !cell.classList.contains("grid-offered");
  const isBlank = (row) => cellsOf(row).every((cell) => !toFill(cell) || !cell.value.trim());

  const visit = (cell) => {
    cell.focus();
    cell.select();
  };

  function numbered(text) {
    return text.replace(/^([coef])\.\d+/, (_, kind) => `${kind}.${rows().length + 1}`);
  }

  // A copy of the last row, blank, with the next number.
  function addRow() {
    const last = rows().at(-1);
    const added = last.cloneNode(true);
    added.className = "";
    added.dataset.row = String(rows().length + 1);
    added.querySelectorAll(".fault").forEach((each) => each.remove());
    added.querySelectorAll("td").forEach((each) => each.classList.remove("grid-told"));
    added.querySelectorAll("input").forEach((each) => {
      if (each.name.startsWith("o.")) {
        each.remove();
        return;
      }
      each.name = numbered(each.name);
      if (each.id) each.id = each.name;
      each.removeAttribute("aria-invalid");
      each.removeAttribute("aria-describedby");
      each.classList.remove("grid-above");
      const column = each.name.split(".")[2] || "";
      if (["row", "item"].includes(column)) return;
      const counted = ["station", "place"].includes(column) && step && /^\d+$/.test(each.value);
      const next = counted ? Number(each.value) + step : -1;
      each.value = next >= 0 ? String(next) : "";
      if (column !== "length_m" && column !== "length_ft") each.removeAttribute("placeholder");
    });
    const label = body.closest("table").tHead.rows[0].cells;
    cellsOf(added).forEach((cell, at) => {
      const words = label[at].textContent.trim().replace(/\s+/g, " ");
      cell.setAttribute("aria-label", `${words} ${added.dataset.row}`);
    });
    body.append(added);
    return added;
  }

  function firstToFill(row) {
    return cellsOf(row).find(toFill) || cellsOf(row)[0];
  }

  function down(cell, column) {
    const { line } = placeOf(cell);
    const row = rows()[line + 1] || (isBlank(rows()[line]) ? null : addRow());
    if (!row) return false;
    visit(cellsOf(row)[column] || firstToFill(row));
    return true;
  }

  function across(cell, forward) {
    const all = rows().flatMap(cellsOf).filter((each) => toFill(each) || each === cell);
    const next = all[all.indexOf(cell) + (forward ? 1 : -1)];
    if (next) {
      if (placeOf(next).line !== placeOf(cell).line) startColumn = placeOf(next).column;
      visit(next);
      return true;
    }
    const { row } = placeOf(cell);
    if (!forward || isBlank(row)) return false; // the browser goes on to the buttons
    const added = firstToFill(addRow());
    startColumn = placeOf(added).column;
    visit(added);
    return true;
  }

  // Whether an arrow leaves the box: the text is marked whole, or the caret stands at its end.
  function leaves(cell, forward) {
    const { selectionStart: from, selectionEnd: to, value } = cell;
    if (from === 0 && to === value.length) return true;
    return from === to && from === (forward ? value.length : 0);
  }

  function arrow(cell, key) {
    const { line, column } = placeOf(cell);
    if (key === "ArrowDown" || key === "ArrowUp") {
      const row = rows()[line + (key === "ArrowDown" ? 1 : -1)];
      if (row) visit(cellsOf(row)[column]);
      startColumn = column;
      return true;
    }
    const forward = key === "ArrowRight";
    const next = cellsOf(rows()[line])[column + (forward ? 1 : -1)];
    if (!next || !leaves(cell, forward)) return false;
    startColumn = column + (forward ? 1 : -1);
    visit(next);
    return true;
  }

  function save() {
    changed = false;
    form.requestSubmit();
  }

  form.addEventListener("keydown", (event) => {
    const cell = event.target.closest(".grid-cell");
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      save();
      return;
    }
    if (!cell || event.altKey || event.ctrlKey || event.metaKey) return;
    let done = false;
    if (event.key === "Enter") {
      event.preventDefault(); // never saves by itself
      if (event.shiftKey) done = arrow(cell, "ArrowUp");
      else if (!down(cell, startColumn)) form.querySelector("button.primary").focus();
    } else if (event.key === "Tab") done = across(cell, !event.shiftKey);
    else if (event.key === "Escape") form.querySelector("button.primary").focus();
    else if (event.key.startsWith("Arrow") && !event.shiftKey && !cell.list) {
      done = arrow(cell, event.key);
    }
    if (done) event.preventDefault();
  });

  // Where a hand or a pointer begins a row, Enter comes back to.
  form.addEventListener("pointerup", (event) => {
    const cell = event.target.closest(".grid-cell");
    if (cell) startColumn = placeOf(cell).column;
  });

  form.addEventListener("input", (event) => {
    changed = true;
    const cell = event.target.closest(".grid-cell");
    if (!cell) return;
    cell.classList.remove("grid-above");
    const { row, line } = placeOf(cell);
    if (line === rows().length - 1 && !isBlank(row)) addRow();
  });

  form.addEventListener("submit", () => {
    changed = false;
  });
  window.addEventListener("beforeunload", (event) => {
    if (changed) event.preventDefault();
  });

  const wrong = body.querySelector("[aria-invalid=true]");
  const first = wrong || rows().map(firstToFill).find((cell) => !cell.value) || null;
  if (first) {
    startColumn = placeOf(first).column;
    visit(first);
  }
})();
