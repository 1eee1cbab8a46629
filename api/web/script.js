// What makes pages handier; every page works without.

// A list sent whole is forgotten by the phone only when the page that comes of
// it names the sending: until then the boat may not have it.
(function () {
  "use strict";
  var kept = new URLSearchParams(window.location.search).get("kept");
  if (!kept) { return; }
  try {
    Object.keys(window.localStorage).filter(function (k) { return /^sent:/.test(k); }).forEach(function (k) {
      var sent = JSON.parse(window.localStorage.getItem(k)), key = k.slice(5);
      if (sent.name !== kept) { return; }
      var unsent = JSON.parse(window.localStorage.getItem(key)) || {};
      Object.keys(sent.lines).forEach(function (id) {
        if (JSON.stringify(unsent[id]) === JSON.stringify(sent.lines[id])) { delete unsent[id]; }
      });
      if (Object.keys(unsent).length) { window.localStorage.setItem(key, JSON.stringify(unsent)); } else { window.localStorage.removeItem(key); }
      window.localStorage.removeItem(k);
    });
  } catch (e) { return; }
})();

// A form that is a draft is remembered on the device until it was taken. One
// of something that is kept (data-of says which state of it) is forgotten when
// that has changed.
(function () {
  "use strict";
  var memory;
  try { memory = window.localStorage; memory.getItem("x"); } catch (e) { return; }
  var taken = document.querySelector("[data-drafted]");
  if (taken) { memory.removeItem("draft:" + taken.dataset.drafted); }
  var form = document.querySelector("form[data-draft]");
  if (!form) { return; }
  var key = "draft:" + form.dataset.draft, of = form.dataset.of || "";
  var kept = {};
  try { kept = JSON.parse(memory.getItem(key)) || {}; } catch (e) { kept = {}; }
  if (kept.of !== of || !kept.typed) { kept = { of: of, typed: {} }; }
  var typed = kept.typed;
  if ("shown" in form.dataset) { // the answer to a form sent: what it shows is newer
    Array.prototype.forEach.call(form.elements, function (f) {
      if (f.name && f.type !== "hidden" && f.type !== "file" && (f.type !== "radio" || f.checked)) { typed[f.name] = f.type === "checkbox" ? f.checked : f.value; }
    });
    try { memory.setItem(key, JSON.stringify(kept)); } catch (e3) { return; }
  }
  var put = 0;
  Object.keys(typed).forEach(function (name) {
    var f = form.elements[name];
    if (!f || f.type === "hidden" || f.type === "file") { return; }
    var was = f.type === "checkbox" ? f.checked : f.value;
    if (was === typed[name] || !of && was !== "" && was !== false && name !== "day") { return; }
    if (f.type === "checkbox") { f.checked = typed[name]; } else { f.value = typed[name]; }
    put++;
  });
  var state = form.querySelector(".state");
  if (put && state) { state.textContent = form.dataset.back; }
  form.addEventListener("input", function (e) {
    if (!e.target.name || e.target.type === "file") { return; }
    typed[e.target.name] = e.target.type === "checkbox" ? e.target.checked : e.target.value;
    try { memory.setItem(key, JSON.stringify(kept)); } catch (e2) { return; }
  });
})();

(function () {
  "use strict";
  var form = document.querySelector("form.shop");
  if (!form) { return; }
  var key = "shop:" + form.dataset.keep;
  var state = form.querySelector(".state");
  var memory = null;
  try { memory = window.localStorage; memory.getItem(key); } catch (e) { memory = null; }
  var unsent = remembered();

  function remembered() {
    try { return JSON.parse(memory.getItem(key)) || {}; } catch (e) { return {}; }
  }
  function lineOf(id) { return form.querySelector('[data-line="' + id + '"]'); }
  function fields(line) {
    return Array.prototype.slice.call(line.querySelectorAll("input, select"));
  }
  function read(line) {
    var out = {};
    fields(line).forEach(function (f) { out[f.name] = f.type === "checkbox" ? (f.checked ? "1" : "") : f.value; });
    return out;
  }
  function remember() {
    if (!memory) { return; }
    try {
      if (Object.keys(unsent).length) { memory.setItem(key, JSON.stringify(unsent)); } else { memory.removeItem(key); }
    } catch (e) { state.textContent = form.dataset.gone; }
  }
  // What comes in beside the list leaves the field in hand where it is, or with
  // none in hand what is in the middle, where a finger may be on its way to.
  function steady(change) {
    var e = document.activeElement;
    if (!e || !form.contains(e)) {
      e = document.elementFromPoint(window.innerWidth / 2, window.innerHeight / 2);
      e = e && e.closest("label, summary, [data-line]");
    }
    var at = e && form.contains(e) ? e.getBoundingClientRect().top : -1;
    change();
    if (at >= 0 && at < window.innerHeight) { window.scrollBy({ top: e.getBoundingClientRect().top - at, behavior: "instant" }); }
  }
  function show(id, line, answer) {
    var note = line.querySelector(".note"), rival = line.querySelector(".rival");
    form.elements["was." + id].value = answer.was; // what is typed from now on is typed knowing that
    rival.textContent = "";
    note.textContent = answer.held ? "" : answer.note;
    note.classList.toggle("warn", answer.warn);
    if (!answer.held) { return; }
    add(rival, "p", answer.note).className = "warn";
    var theirs = add(rival, "button", form.dataset.theirs);
    theirs.name = "drop";
    theirs.value = id;
  }
  // How many to take at the price typed: asked for once the price is kept, one
  // line at a time, the one typed last first, so that answers that take long
  // never keep what is typed from being sent.
  var asking = "", asked = [];
  function ask(id, line) {
    var price = form.elements["price." + id];
    asked = asked.filter(function (other) { return other !== id; });
    if (!price || !price.value) {
      steady(function () { line.querySelector(".take").textContent = ""; });
      return;
    }
    asked.push(id);
    askNext();
  }
  function askNext() {
    if (asking || !asked.length) { return; }
    var id = asking = asked.pop(), line = lineOf(id), box = line.querySelector(".take");
    fetch(form.getAttribute("action") + "/take?item=" + encodeURIComponent(id), { credentials: "same-origin" }).then(function (r) {
      if (!r.ok) { throw new Error(r.status); }
      return r.json();
    }).then(function (answer) {
      if (asked.indexOf(id) >= 0 || !form.elements["price." + id].value) { return; } // typed anew meanwhile
      steady(function () {
        box.textContent = "";
        if (answer.now) { add(box, "p", answer.now); }
        if (answer.else.length) {
          var list = add(box, "ul", "");
          answer.else.forEach(function (words) { add(list, "li", words); });
        }
        if (answer.up_to) { line.querySelector(".upto").textContent = answer.up_to; }
      });
    }).catch(function () { return; }).then(function () {
      asking = "";
      askNext();
    });
  }
  function add(to, kind, words) {
    var e = document.createElement(kind);
    e.textContent = words;
    to.appendChild(e);
    return e;
  }
  // One sending of a line at a time, so that none overtakes a later one. What
  // another phone has said otherwise waits for its reader.
  var busy = {}, again = {}, held = {};
  function send(id) {
    var line = lineOf(id), sent = unsent[id];
    if (!line || !sent) { delete unsent[id]; remember(); return; }
    if (busy[id]) { again[id] = true; return; }
    if (held[id] === sent) { return; }
    busy[id] = true;
    var body = new URLSearchParams();
    body.set("line", id);
    Object.keys(sent).forEach(function (n) { if (sent[n] !== "" || /^(price|was)\./.test(n)) { body.set(n, sent[n]); } });
    fetch(form.action, { method: "POST", body: body, credentials: "same-origin" }).then(function (r) {
      if (!r.ok) { throw new Error(r.status); }
      return r.json();
    }).then(function (answer) {
      steady(function () { show(id, line, answer); });
      state.textContent = answer.said;
      busy[id] = false;
      if (answer.held) {
        held[id] = sent;
      } else if (unsent[id] === sent) {
        delete unsent[id];
      } else if (unsent[id]) {
        unsent[id]["was." + id] = answer.was;
      }
      remember();
      if (!answer.held) { ask(id, line); }
      if (again[id]) { delete again[id]; send(id); }
    }).catch(function () { busy[id] = false; state.textContent = form.dataset.gone; });
  }
  function sendAll() { Object.keys(unsent).forEach(send); }

  // What an earlier visit could not send is put back and sent now, with what
  // it was made from.
  function putBack() {
    Object.keys(unsent).forEach(function (id) {
      var line = lineOf(id);
      if (!line) { return; }
      fields(line).forEach(function (f) {
        if (!(f.name in unsent[id])) { return; }
        if (f.type === "checkbox") { f.checked = unsent[id][f.name] === "1"; } else { f.value = unsent[id][f.name]; }
      });
      state.textContent = form.dataset.back;
    });
    sendAll();
  }
  putBack();

  form.addEventListener("input", function (e) {
    var line = e.target.closest("[data-line]");
    if (!line) { return; }
    var id = line.dataset.line;
    if (/^(price|pack|count)\./.test(e.target.name) && e.target.value) { form.elements["got." + id].checked = true; }
    if (/^sub\./.test(e.target.name) && e.target.value) { form.elements["none." + id].checked = true; }
    unsent[id] = read(line);
    remember();
  });
  form.addEventListener("change", function (e) {
    var line = e.target.closest("[data-line]");
    if (!line) { return; }
    unsent[line.dataset.line] = read(line);
    remember();
    send(line.dataset.line);
  });
  // Enter goes on to the next price, as the keyboard's key says; only the
  // buttons one sees send the whole form.
  var waited = 0;
  form.addEventListener("submit", function (e) {
    if (!e.submitter || e.submitter.classList.contains("skip")) {
      e.preventDefault();
      var prices = Array.prototype.slice.call(form.querySelectorAll('input[name^="price."]'));
      var next = prices[prices.indexOf(document.activeElement) + 1];
      if (next && document.activeElement.name !== next.name) { next.focus(); }
      return;
    }
    // A line on its way is waited for, a while: its answer says what it is now.
    if (Object.keys(busy).some(function (id) { return busy[id]; }) && waited < 40) {
      e.preventDefault();
      waited++;
      var by = e.submitter;
      window.setTimeout(function () { form.requestSubmit(by); }, 150);
      return;
    }
    waited = 0;
    // What was sent or never touched stays out: the page may be older than what
    // the boat has by now, from this phone or another.
    enable(function (line) { return unsent[line.dataset.line]; });
    if (!memory) { return; }
    var name = form.elements.sent || form.appendChild(document.createElement("input"));
    name.type = "hidden";
    name.name = "sent";
    name.value = Date.now().toString(36) + Math.random().toString(36).slice(2);
    try { memory.setItem("sent:" + key, JSON.stringify({ name: name.value, lines: unsent })); } catch (e2) { return; }
  });
  function enable(which) {
    Array.prototype.forEach.call(form.querySelectorAll("[data-line]"), function (line) {
      fields(line).forEach(function (f) { f.disabled = !which(line); });
    });
  }
  window.addEventListener("pageshow", function (e) {
    enable(function () { return true; });
    if (e.persisted && memory) { unsent = remembered(); sendAll(); }
  });
  window.addEventListener("online", sendAll);
  window.setInterval(sendAll, 15000);
})();
