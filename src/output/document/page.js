"use strict";
// Puts the file of a sheet together from what is written in its boxes: in each line of the blank file a
// reading takes the place of the blank, lines without a reading are left out.
document.querySelectorAll(".sheet").forEach(function (sheet) {
  var file = sheet.querySelector(".file"), button = sheet.querySelector("button");
  var said = sheet.querySelector("[role=status]"), blank = file.textContent;
  var boxes = sheet.querySelectorAll(".rows input"), heads = sheet.querySelectorAll("[data-key]");
  // A bare number where it is one, with a point; else text, as "1 5/16 in" is.
  function value(words) {
    var plain = words.trim().replace(",", ".");
    return /^[+-]?\d+(\.\d+)?$/.test(plain) ? String(Number(plain)) : JSON.stringify(words.trim());
  }
  button.hidden = false;
  button.addEventListener("click", function () {
    var row = 0, read = 0, missing = null;
    var lines = blank.split("\n").map(function (line) {
      if (/^ +\[/.test(line)) {
        var words = boxes[row++].value;
        if (!words.trim()) return null;
        read += 1;
        return line.replace("____", function () { return value(words); });
      }
      heads.forEach(function (head) {
        var key = head.dataset.key;
        if (line.indexOf(key + " ") !== 0) return;
        var written = head.value.trim();
        if (!written) missing = missing || head;
        else line = key + " = " + (head.tagName === "SELECT" ? JSON.stringify(written) : value(written));
      });
      return line;
    });
    if (missing || read < 2) {
      said.textContent = missing ? "Something above the rows is missing." : "Two readings at the least.";
      (missing || boxes[0]).focus();
      return;
    }
    file.textContent = lines.filter(function (line) { return line !== null; }).join("\n");
    getSelection().selectAllChildren(file);
    said.textContent = read + " readings. The text above is selected: copy it into a file measured.toml.";
  });
});
