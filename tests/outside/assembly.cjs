/* What the format's own validator finds in files, as JSON: node assembly.cjs FILE... */
const fs = require("fs");
const validator = require("gltf-validator");

async function judged(file) {
  const bytes = new Uint8Array(fs.readFileSync(file));
  const { issues, info } = await validator.validateBytes(bytes, { maxIssues: 0 });
  return { file, issues, info };
}

Promise.all(process.argv.slice(2).map(judged)).then((all) => console.log(JSON.stringify(all)));
