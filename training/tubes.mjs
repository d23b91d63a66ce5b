// Says a phrase for each line of input, as JSON with the files of a voice; answers with the sound
// of a WAVE file in base 64, or with an empty line where nothing was said.
import { createInterface } from "readline"
import { pathToFileURL } from "url"

const { default: start } = await import(pathToFileURL(process.argv[2]).href)
const synthesiser = await start({ print() {}, printErr() {} })
const text = (words) => {
  const bytes = new TextEncoder().encode(words)
  const at = synthesiser._malloc(bytes.length + 1)
  synthesiser.HEAPU8.set(bytes, at)
  synthesiser.HEAPU8[at + bytes.length] = 0
  return at
}
const [out, folder, frames] = ["/out.wav", "/data/en", "/frames.txt"].map(text)
// It reads its dictionary anew for each phrase: so it is given the entries of that phrase alone.
const dictionary = new Map()
for (const line of synthesiser.FS.readFile("/data/en/MainDictionary.txt", { encoding: "utf8" }).split("\n"))
  dictionary.set(line.split(" ")[0], line)
const entries = (said) => {
  const stems = said.split(" ").flatMap((word) =>
    [...word].flatMap((_, at) => ["", "e", "y"].map((end) => word.slice(0, at + 1) + end)))
  return [...new Set(stems)].filter((stem) => dictionary.has(stem)).sort()
    .map((stem) => dictionary.get(stem) + "\n").join("")
}
for await (const line of createInterface({ input: process.stdin })) {
  const { said, files } = JSON.parse(line)
  let answer = ""
  try {
    for (const [name, content] of Object.entries(files))
      synthesiser.FS.writeFile(`/data/en/${name}.txt`, content)
    synthesiser.FS.writeFile("/data/en/MainDictionary.txt", entries(said))
    const words = text(said)
    synthesiser._GnuSpeech_synthesizeToFile(words, out, folder, frames, 0)
    synthesiser._free(words)
    answer = Buffer.from(synthesiser.FS.readFile("/out.wav")).toString("base64")
    synthesiser.FS.unlink("/out.wav")
  } catch {}
  console.log(answer)
}
