/**
 * What the words above a table can mean, in ten languages. A word is found by its beginning, so that its endings and what
 * it is joined to in one word need not be listed. No list is complete: what is not found here is asked for, not guessed.
 * From common use in each language, no source.
 */
export type Meaning =
  | "size"
  | "upper"
  | "lower"
  | "between"
  | "mid"
  | "geometric"
  | "arithmetic"
  | "class"
  | "share"
  | "under"
  | "over"
  | "retained"
  | "cumulative"
  | "density"
  | "volume"
  | "number"
  | "surface"
  | "length"
  | "percent"
  | "fraction"
  | "per-mille"
  | "ppm"
  | "gram"
  | "count"
  | "mean"
  | "spread"
  | "total"
  | "basis"
  | "link";

/** Beginnings of words in letters without accents. A point at the end: the word is whole. */
const beginnings: Readonly<Record<Meaning, string>> = {
  size: "size diameter diametr diametro particle. grain. particule aperture sieve mesh durchmess groess grosse korn partikelgr teilchengr maschenweite siebweite taille granulometrie maille ouverture tamano tamanho malla malha dimension luce. размер диаметр крупность",
  upper:
    "upper ober bis. superieur superior hasta. ate. верхн up. until. end. ends. high. max. maximum. top. to. до.",
  lower:
    "lower unter von. inferieur inferior infer desde. нижн start. starts. low. min. minimum. bottom. from. от.",
  between: "edge edges limit bound grenz borne sup. inf. границ",
  mid: "mid. mids. midpoint mid-point middle centre center mitte klassenmitte milieu medio centro median. медиан середин",
  geometric: "geometric geometrisch geometrique geometric geometrico геометрич",
  arithmetic: "arithmetic arithmetisch arithmetique aritmetic арифметич",
  class:
    "class bin. bins. channel. channels. interval frequen frecuen freq. differential histogram klasse kanal haufigkeit intervall classe clase частот класс выход интервал",
  share:
    "share part. parts. anteil fraction. fractions. percentage. portion porcentaje porcao percentuale teneur доля содержан",
  under:
    "undersize under. finer passing passed passant pasante passante durchgang durchlauf siebdurchgang tamisat unterkorn feiner проход прошед меньш menor. minor. inferieur-a",
  over: "oversize over. coarser residue ruckstand siebruckstand uberkorn grober refus rechazo sopravaglio остат больш",
  retained: "retained retenido retido trattenut retenu zuruckgehalten",
  cumulative:
    "cumulative cumul. cumulated cum. cumule cumules cumulees acumulad accumul cumulat kumul summenkurve durchgangssumme ruckstandssumme verteilungssumme накоплен суммарн интегральн",
  density: "decade. dekade. density densite densidad densita densidade dichte плотност",
  volume:
    "volum vol. v%. mass. masses. masse. massen masa. massa. weight. wt. w%. q3. q3*. δq3. gewicht volumen poids peso. объем масс вес.",
  number:
    "number. numbers. num. nos. n%. q0. q0*. δq0. anzahl teilchenzahl nombre numero. number-weighted числ количеств",
  surface: "surface. area. areas. q2. q2*. δq2. oberflach flache superfic поверхност площад",
  length: "length. lengths. q1. q1*. δq1. lange. langen longueur longitud lunghezz comprimento длин",
  percent: "percent pct. per-cent prozent pourcent porcent процент",
  fraction: "fraction. fractions. bruchteil",
  "per-mille": "permille promill. promille. permil.",
  ppm: "ppm.",
  gram: "g. mg. kg. gram. grams. gramm gramme gramos grammi г.",
  count: "count. counts. counted. particles. grains. drops. pieces. stuck. шт.",
  mean: "mean. average avg. ave. mittelwert mittel. moyenne media. promedio средн",
  spread:
    "uncertaint unsicherheit incertitude incertidumbre incertez incertezza неопредел погрешн error. fehler. errore. sd. s.d. stdev std. st.dev standard-deviation rsd. cv. variance. spread. range. scatter standardabweichung streuung ecart-type ecart desviacion desvio deviazione deviation отклонен",
  total:
    "total. totals. totale. sum. gesamt summe. somme. suma. somma. soma. итого. всего. check-sum all. everything.",
  basis:
    "basis based. weighted weighting distribution. distributions. verteilung repartition distribucion distribuzione distribuicao распределен",
  link: "by. of. in. per. the. and. as. den. der. die. des. du. par. en. por. per. em. по. в. nach. pro. each. every. q. x. than. less. not. all-of",
};

/** Scripts without blanks between words: found wherever they stand. */
const anywhere: Readonly<Partial<Record<Meaning, string>>> = {
  size: "粒径 粒子径 粒度 孔径 目开き 입경 입도 입자크기 입자 직경 筛孔",
  upper: "上限 상한",
  lower: "下限 하한",
  mid: "中央 中心 中值 中点 중간 중앙",
  geometric: "几何 幾何 기하",
  arithmetic: "算术 算術 산술",
  class: "区间 频率 頻度 区間 빈도 구간",
  share: "分率 含量 分数 割合 분율 함량",
  under: "通过 通過 筛下 ふるい下 통과 체하",
  over: "筛余 筛上 ふるい上 残分 残留 잔류 체상",
  cumulative: "累积 累计 積算 累積 누적 적산",
  density: "密度 밀도",
  volume: "体积 体積 质量 質量 重量 부피 체적 질량 중량",
  number: "个数 個数 数量 개수",
  surface: "表面积 表面積 面积 面積 표면적 면적",
  length: "长度 長さ 길이",
  percent: "% ％ ٪",
  "per-mille": "‰ 千分",
  count: "颗粒数 粒子数 입자수",
  mean: "平均 평균",
  spread: "不确定度 不確かさ 불확도 误差 誤差 标准差 標準偏差 표준편차",
  total: "合计 总计 合計 합계 총계 σ Σ",
  basis: "基准 基準 分布 분포 기준",
};

/** Parts of words that are made of several. */
const inside: readonly (readonly [string, Meaning])[] = [
  ["anteil", "share"],
  ["verteilung", "basis"],
  ["grenze", "between"],
  ["prozent", "percent"],
  ["haufigkeit", "class"],
  ["durchmesser", "size"],
  ["grosse", "size"],
  ["durchgang", "under"],
  ["ruckstand", "over"],
  ["mitte", "mid"],
];

/** Small letters without accents, one blank for what parts words in a heading. */
export function plainLetters(text: string): string {
  const small = text.slice(0, longestHeading).toLowerCase().replace(/[_\t]/g, " ").replace(perMille, "‰");
  if (isPlain.test(small)) return small;
  return small
    .replaceAll("ß", "ss")
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .normalize("NFC")
    .replace(/[‐‑–—]/g, "-");
}

/** Several words for one sign. */
const perMille = /\bo\/oo\b|\b(?:per|pour|por|pro) ?(?:mille?|thousand|tausend)\b|‰/g;

/** Nothing but letters and signs that every keyboard has: most headings. */
const isPlain = /^[ -~]*$/;

/** What stands further on in a cell says nothing of its column. */
const longestHeading = 200;

/** A word of a heading with what it can mean; none where no list holds it. */
export interface Word {
  readonly text: string;
  readonly at: number;
  readonly meanings: readonly Meaning[];
}

const wholeWords = new Map<string, Meaning[]>();
/** By their first letter. */
const startsOfWords = new Map<string, (readonly [string, Meaning])[]>();
for (const [meaning, list] of entriesOf(beginnings))
  for (const word of list.split(" "))
    if (word.endsWith("."))
      wholeWords.set(word.slice(0, -1), [...(wholeWords.get(word.slice(0, -1)) ?? []), meaning]);
    else startsOfWords.set(word.charAt(0), [...(startsOfWords.get(word.charAt(0)) ?? []), [word, meaning]]);
const wordsAnywhere = entriesOf(anywhere).flatMap(([meaning, list]) =>
  list.split(" ").map((word): readonly [string, Meaning] => [word, meaning]),
);

function entriesOf(of: Readonly<Partial<Record<Meaning, string>>>): (readonly [Meaning, string])[] {
  const found: (readonly [Meaning, string])[] = [];
  for (const meaning of meaningsOf(of)) found.push([meaning, of[meaning] ?? ""]);
  return found;
}

function meaningsOf(of: Readonly<Partial<Record<Meaning, string>>>): Meaning[] {
  const isMeaning = (key: string): key is Meaning => Object.hasOwn(of, key);
  return Object.keys(of).filter(isMeaning);
}

/** Names of runs, behind which a word of quantity says nothing: "sample number", "lot mass". */
const runNames = /^(?:run|sample|lot|batch|serial|bag|test|jar)$/;
const runWords = /^(?:number|no|nr|weight|mass|volume)$/;
const piece = /[\p{L}\p{M}]+[\d]?\*?\.?%?|[\d]+(?:[.,]\d+)*|%|％|[^\s]/gu;
/** Scripts that write words without blanks between them. */
const unspaced = /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}]/u;

/** The words of a heading in order, each with what it can mean. */
export function wordsIn(text: string): readonly Word[] {
  const words: Word[] = [];
  for (const match of plainLetters(text).matchAll(piece)) {
    const found = match[0];
    const bare = found.length > 1 ? found.replace(/\.$/, "") : found;
    words.push({ text: bare, at: match.index, meanings: meaningsFor(bare) });
  }
  // "g" is a mass where it ends a heading or stands in brackets; before more it is a name.
  return words.map((word, i) => {
    const next = words[i + 1]?.text;
    const isName = /^[gг]$/.test(word.text) && next !== undefined && next !== ")" && next !== "]";
    // "Lot weight" is a name; in "lot weight in class %" words of the values follow.
    const isRun =
      runNames.test(words[i - 1]?.text ?? "") &&
      runWords.test(word.text) &&
      !words.slice(i + 1).some(({ meanings }) => meanings.some((m) => m !== "link"));
    return isName || isRun ? { ...word, meanings: [] } : word;
  });
}

const none: readonly Meaning[] = [];

function meaningsFor(word: string): readonly Meaning[] {
  // Most words are of plain letters, figures or signs, which is quicker asked than the scripts.
  const isAscii = isPlain.test(word);
  const isLetter = isAscii ? /^[a-z]/i.test(word) : /^\p{L}/u.test(word);
  if (!isLetter && !/[%％‰]/.test(word)) return none;
  const ofSign = meaningsOfSigns.get(word);
  if (ofSign !== undefined) return ofSign;
  if (!isAscii && unspaced.test(word)) return meaningsInside(word);
  // "vol%" is two words written as one.
  if (word.length > 1 && word.endsWith("%") && !wholeWords.has(word)) return meaningsFor(word.slice(0, -1));
  const found = [...(wholeWords.get(word) ?? none)];
  for (const [start, meaning] of startsOfWords.get(word.charAt(0)) ?? noStarts)
    if (word.startsWith(start)) found.push(meaning);
  if (word.length > 6) for (const [text, meaning] of inside) if (word.includes(text)) found.push(meaning);
  if (found.length < 2) return found;
  const all = new Set(found);
  // "Oberfläche" is no upper edge, "Mittelwert" no middle of a class.
  if (all.has("surface")) all.delete("upper");
  if (all.has("mean")) all.delete("mid");
  return [...all];
}

/** What is meant by the words that stand anywhere in this one. */
function meaningsInside(word: string): readonly Meaning[] {
  return [...new Set(wordsAnywhere.flatMap(([part, meaning]) => (word.includes(part) ? [meaning] : [])))];
}

/** A per cent sign stands in most headings. */
const meaningsOfSigns = new Map(["%", "％", "‰", "σ"].map((sign) => [sign, meaningsInside(sign)] as const));

const noStarts: readonly (readonly [string, Meaning])[] = [];
