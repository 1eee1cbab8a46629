(function () {
  "use strict";
  var memory;
  try { memory = window.localStorage; memory.getItem("x"); } catch (e) { return; }
  var name = "list:" + document.documentElement.dataset.list;
  var ticks = {};
  try { ticks = JSON.parse(memory.getItem(name)) || {}; } catch (e) { ticks = {}; }
  document.querySelectorAll("input[type=checkbox][data-key]").forEach(function (box) {
    box.checked = ticks[box.dataset.key] === 1;
    box.addEventListener("change", function () {
      if (box.checked) { ticks[box.dataset.key] = 1; } else { delete ticks[box.dataset.key]; }
      try { memory.setItem(name, JSON.stringify(ticks)); } catch (e) { box.title = document.documentElement.dataset.full; }
    });
  });
  var typedName = "typed:" + document.documentElement.dataset.list;
  var typed = {};
  try { typed = JSON.parse(memory.getItem(typedName)) || {}; } catch (e) { typed = {}; }
  var fields = Array.prototype.slice.call(document.querySelectorAll("[data-field]"));
  function cell(text) { return /[",\n]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text; }
  function write() {
    var lines = {}, order = [];
    fields.forEach(function (f) {
      var key = f.dataset.call + "," + f.dataset.item, value = f.type === "checkbox" ? (f.checked ? "1" : "") : f.value.trim();
      if (!lines[key]) { lines[key] = { any: false, got: "", none: "", price: "", pack: "", count: "" }; order.push(key); }
      lines[key][f.dataset.field] = value;
      if (value) { lines[key].any = true; }
    });
    var out = "call,item,got,none,price,pack,count\n";
    order.forEach(function (key) {
      var l = lines[key];
      if (l.any) { out += [key, l.got, l.none, cell(l.price), cell(l.pack), cell(l.count)].join(",") + "\n"; }
    });
    document.getElementById("ticks").value = out;
    document.getElementById("save").href = "data:text/csv;charset=utf-8," + encodeURIComponent(out);
  }
  fields.forEach(function (f) {
    if (f.dataset.field !== "got") {
      var key = f.dataset.call + " " + f.dataset.item + " " + f.dataset.field;
      if (f.type === "checkbox") { f.checked = typed[key] === "1"; } else { f.value = typed[key] || ""; }
      f.addEventListener("input", function () {
        typed[key] = f.type === "checkbox" ? (f.checked ? "1" : "") : f.value;
        try { memory.setItem(typedName, JSON.stringify(typed)); } catch (e) { f.title = document.documentElement.dataset.full; }
        write();
      });
    } else { f.addEventListener("change", write); }
  });
  document.querySelector(".back").hidden = false;
  write();
  var look = "look";
  document.querySelectorAll("input[name=look]").forEach(function (choice) {
    if (memory.getItem(look) === choice.id) { choice.checked = true; }
    choice.addEventListener("change", function () { memory.setItem(look, choice.id); });
  });
})();
