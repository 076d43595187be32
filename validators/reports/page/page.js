"use strict";
(function () {
  var form = document.querySelector(".filter");
  var wanted = document.getElementById("wanted");
  var blocking = document.getElementById("blocking");
  var shown = document.getElementById("shown");
  var articles = {};
  document.querySelectorAll("article.file").forEach(function (a) { articles[a.dataset.file] = a; });
  var rows = Array.from(document.querySelectorAll("tr.row"));

  function sift() {
    var text = wanted.value.trim().toLowerCase();
    var kept = 0;
    rows.forEach(function (row) {
      var article = articles[row.dataset.file];
      var said = (row.textContent + (article ? article.textContent : "")).toLowerCase();
      var blocks = article && article.querySelector(".tag.blocks-assembly");
      var keep = said.indexOf(text) >= 0 && (!blocking.checked || Boolean(blocks));
      row.hidden = !keep;
      if (article) { article.hidden = !keep; }
      if (keep) { kept += 1; }
    });
    shown.textContent = kept + " of " + rows.length;
  }

  function reveal() {
    var id = decodeURIComponent(location.hash.slice(1));
    var target = id && document.getElementById(id);
    for (var at = target; at; at = at.parentElement) {
      if (at.tagName === "DETAILS") { at.open = true; }
      if (at.hidden && at.tagName === "ARTICLE") { at.hidden = false; }
    }
    if (target) { target.scrollIntoView(); }
  }

  // Where style alone cannot unfold what prints, this does.
  window.addEventListener("beforeprint", function () {
    document.querySelectorAll(".single details, details.call").forEach(function (d) { d.open = true; });
  });
  if (rows.length > 1) { form.hidden = false; }
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", sift);
  window.addEventListener("hashchange", reveal);
  reveal();
})();
