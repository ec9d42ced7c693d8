import type { Quantity } from "#distributions/sizeDistribution.ts";

/** How one language heads the columns of a table. Common words of each language; checked by no native speaker. */
export interface HeadingWords {
  readonly language: string;
  readonly size: readonly string[];
  readonly upper: readonly string[];
  readonly lower: readonly string[];
  readonly mid: readonly string[];
  readonly inClass: readonly string[];
  readonly under: readonly string[];
  readonly over: readonly string[];
  readonly quantity: Readonly<Record<Quantity, readonly string[]>>;
  readonly mean: readonly string[];
  readonly spread: readonly string[];
  readonly total: readonly string[];
  readonly pan: readonly string[];
}

export const languages: readonly HeadingWords[] = [
  {
    language: "English",
    size: ["size", "diameter", "particle size", "x"],
    upper: ["upper edge", "upper limit", "upper", "to"],
    lower: ["lower edge", "lower limit", "lower", "from"],
    mid: ["mid", "class centre", "midpoint"],
    inClass: ["in class", "frequency", "share", ""],
    under: ["cumulative undersize", "passing", "finer than", "undersize"],
    over: ["oversize", "cumulative retained", "coarser than"],
    quantity: {
      volume: ["volume", "vol", "mass", "weight"],
      number: ["number", "count"],
      surface: ["surface", "area"],
      length: ["length"],
    },
    mean: ["mean", "average", "centre line", "avg of all"],
    spread: ["SD", "std dev", "scatter"],
    total: ["total", "sum", "check sum", "all"],
    pan: ["pan", "bottom", "receiver", "catch"],
  },
  {
    language: "German",
    size: ["Größe", "Korngröße", "Durchmesser", "Partikelgröße"],
    upper: ["obere Grenze", "Obergrenze", "bis"],
    lower: ["untere Grenze", "Untergrenze", "von"],
    mid: ["Klassenmitte", "Mitte"],
    inClass: ["Klassenanteil", "Häufigkeit", "Anteil"],
    under: ["Durchgang", "Durchgangssumme", "Siebdurchgang"],
    over: ["Rückstand", "Rückstandssumme"],
    quantity: {
      volume: ["Volumen", "Vol.", "Masse", "Gewicht"],
      number: ["Anzahl"],
      surface: ["Oberfläche"],
      length: ["Länge"],
    },
    mean: ["Mittelwert", "Mittel"],
    spread: ["Standardabweichung", "Streuung"],
    total: ["Summe", "Gesamt"],
    pan: ["Boden", "Schale"],
  },
  {
    language: "French",
    size: ["taille", "diamètre", "granulométrie"],
    upper: ["borne supérieure", "limite supérieure", "à"],
    lower: ["borne inférieure", "limite inférieure", "de"],
    mid: ["milieu", "centre de classe"],
    inClass: ["fréquence", "part", "fraction de classe"],
    under: ["passant cumulé", "tamisat", "cumulé inférieur"],
    over: ["refus cumulé", "refus"],
    quantity: {
      volume: ["volume", "masse", "poids"],
      number: ["nombre"],
      surface: ["surface"],
      length: ["longueur"],
    },
    mean: ["moyenne"],
    spread: ["écart-type"],
    total: ["total", "somme"],
    pan: ["fond"],
  },
  {
    language: "Spanish",
    size: ["tamaño", "diámetro"],
    upper: ["límite superior", "hasta"],
    lower: ["límite inferior", "desde"],
    mid: ["centro de clase", "punto medio"],
    inClass: ["frecuencia", "fracción"],
    under: ["pasante acumulado", "pasante", "acumulado menor"],
    over: ["retenido acumulado", "rechazo"],
    quantity: {
      volume: ["volumen", "masa", "peso"],
      number: ["número"],
      surface: ["superficie"],
      length: ["longitud"],
    },
    mean: ["media", "promedio"],
    spread: ["desviación"],
    total: ["total", "suma"],
    pan: ["fondo", "ciego"],
  },
  {
    language: "Italian",
    size: ["dimensione", "diametro"],
    upper: ["limite superiore"],
    lower: ["limite inferiore"],
    mid: ["centro classe"],
    inClass: ["frequenza", "frazione"],
    under: ["passante cumulativo", "passante"],
    over: ["trattenuto cumulativo", "sopravaglio"],
    quantity: {
      volume: ["volume", "massa", "peso"],
      number: ["numero"],
      surface: ["superficie"],
      length: ["lunghezza"],
    },
    mean: ["media"],
    spread: ["deviazione standard"],
    total: ["totale", "somma"],
    pan: ["fondo"],
  },
  {
    language: "Portuguese",
    size: ["tamanho", "diâmetro"],
    upper: ["limite superior", "até"],
    lower: ["limite inferior", "de"],
    mid: ["centro da classe"],
    inClass: ["frequência", "fração"],
    under: ["passante acumulado", "passante"],
    over: ["retido acumulado"],
    quantity: {
      volume: ["volume", "massa", "peso"],
      number: ["número"],
      surface: ["superfície"],
      length: ["comprimento"],
    },
    mean: ["média"],
    spread: ["desvio padrão"],
    total: ["total", "soma"],
    pan: ["fundo"],
  },
  {
    language: "Japanese",
    size: ["粒径", "粒子径"],
    upper: ["上限", "上限粒径"],
    lower: ["下限", "下限粒径"],
    mid: ["中央値", "中心粒径"],
    inClass: ["頻度", "分率"],
    under: ["通過分積算", "ふるい下"],
    over: ["ふるい上", "残分"],
    quantity: { volume: ["体積", "質量", "重量"], number: ["個数"], surface: ["表面積", "面積"], length: ["長さ"] },
    mean: ["平均"],
    spread: ["標準偏差"],
    total: ["合計"],
    pan: ["受皿"],
  },
  {
    language: "Chinese",
    size: ["粒径", "粒度"],
    upper: ["上限", "粒径上限"],
    lower: ["下限", "粒径下限"],
    mid: ["中值", "区间中点"],
    inClass: ["区间含量", "频率"],
    under: ["筛下累积", "累积通过"],
    over: ["筛余累积", "筛上"],
    quantity: { volume: ["体积", "质量", "重量"], number: ["个数", "数量"], surface: ["表面积"], length: ["长度"] },
    mean: ["平均值"],
    spread: ["标准差"],
    total: ["合计", "总计"],
    pan: ["底盘"],
  },
  {
    language: "Korean",
    size: ["입경", "입자크기"],
    upper: ["상한", "상한 입경"],
    lower: ["하한", "하한 입경"],
    mid: ["중간값"],
    inClass: ["빈도", "분율"],
    under: ["누적 통과", "통과분"],
    over: ["누적 잔류", "잔류분"],
    quantity: { volume: ["부피", "체적", "질량", "중량"], number: ["개수"], surface: ["표면적"], length: ["길이"] },
    mean: ["평균"],
    spread: ["표준편차"],
    total: ["합계"],
    pan: ["받침"],
  },
  {
    language: "Russian",
    size: ["размер", "диаметр", "крупность"],
    upper: ["верхняя граница", "до"],
    lower: ["нижняя граница", "от"],
    mid: ["середина", "середина класса"],
    inClass: ["выход класса", "частота", "доля"],
    under: ["проход", "накопленный проход"],
    over: ["остаток", "суммарный остаток"],
    quantity: {
      volume: ["объём", "по массе", "масса"],
      number: ["число", "количество"],
      surface: ["поверхность"],
      length: ["длина"],
    },
    mean: ["среднее"],
    spread: ["отклонение"],
    total: ["итого", "всего"],
    pan: ["поддон"],
  },
];

/** Words that no list holds: a laboratory's own, or another language's. */
export const inventedWords = [
  "grumma",
  "talvo",
  "k-Wert",
  "brink",
  "shove",
  "P7",
  "wasp",
  "orra",
  "tuli",
  "määrä",
  "miqdar",
];

/** How a unit is written, by what it is. */
export const unitWords = {
  um: ["um", "µm", "μm", "micron", "microns", "мкм", "微米", "마이크론", "ミクロン", "micromètres", "micras", "UM", "µ"],
  nm: ["nm", "нм", "纳米", "nanometer", "나노미터"],
  mm: ["mm", "мм", "毫米", "millimètre", "MM"],
} as const;

/** Units that must never pass for none. */
export const foreignUnits = ["inch", "mil", "thou", "Å", "10^-6 m", "log um", "radius um", "дюйм", "pt", "dm", "kÅ", "a.u."];

/** Names of samples that hold the reader's own words. */
export const trickyNames = [
  "number 3",
  "volume trial",
  "upper mill",
  "cumulative 2",
  "mass lot",
  "class A",
  "mean street",
  "fine fraction",
  "nm-7",
  "total recall",
  "max grind",
  "pan 4",
  "surface treated",
  "length of day",
  "low speed",
  "residue 9",
  "oversize return",
  "from mill 2",
  "count 12",
  "density 4.55",
  "sieve cut",
  "per ln",
  "passing grade",
  "SD card",
  "number cruncher",
  "area 51",
  "q0 trial",
  "weight watch",
];

export const plainNames = ["YG-07", "host A", "run", "bag", "K-12", "garnet", "B", "lot 3", "2026-03-04 a", "試料", "проба"];
