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
      try { memory.setItem(name, JSON.stringify(ticks)); } catch (e) { box.title = "not kept: the phone's memory is full"; }
    });
  });
  var look = "look";
  document.querySelectorAll("input[name=look]").forEach(function (choice) {
    if (memory.getItem(look) === choice.id) { choice.checked = true; }
    choice.addEventListener("change", function () { memory.setItem(look, choice.id); });
  });
})();
