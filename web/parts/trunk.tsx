// The bark of a trunk unrolled: holes of this and earlier years, the room to keep around them, and the next good spot.
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import type { HolePlace, HoleZone } from "../../shared/trees/hole.ts";
import type { Units } from "../../shared/wire/api.ts";

export type DrawnHole = HolePlace & { id: string; label: string; isOld: boolean };

export type TrunkProps = {
  girthCm: number;
  holes: readonly DrawnHole[];
  zone: HoleZone;
  /** Where the next hole goes as it stands in the form; undefined for nowhere. */
  spot: HolePlace | undefined;
  units: Units;
  /** Called with the place that was pointed at. */
  choose: (place: HolePlace) => void;
};

// A common trunk fills a phone's width; a thin one stays in proportion.
const remPerCm = 0.18;
const lowestCm = 40;
const highestCm = 160;
const heightLinesCm = [60, 80, 100, 120, 140];

export function Trunk(props: TrunkProps) {
  const { girthCm, holes, zone, spot, units, choose } = props;
  const topCm = Math.max(highestCm, ...holes.map(({ heightCm }) => heightCm + 10));
  const bottomCm = Math.min(lowestCm, ...holes.map(({ heightCm }) => heightCm - 10));
  const y = (heightCm: number) => topCm - heightCm;
  const pointed = (event: MouseEvent & { currentTarget: SVGSVGElement }) => {
    const box = event.currentTarget.getBoundingClientRect();
    const share = (event.clientX - box.left) / box.width;
    const down = (event.clientY - box.top) / box.height;
    choose({
      aroundCm: Math.round(share * girthCm),
      heightCm: Math.round(topCm - down * (topCm - bottomCm)),
    });
  };
  return (
    <figure class="trunk" style={{ maxWidth: `${girthCm * remPerCm}rem` }}>
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: the same place can be typed in the form's fields. */}
      <svg
        viewBox={`0 0 ${girthCm} ${topCm - bottomCm}`}
        role="img"
        aria-label={trunkWords(props)}
        onClick={pointed}
      >
        <HeightLines girthCm={girthCm} y={y} units={units} />
        {holes.map((hole) => (
          <Zone key={hole.id} hole={hole} girthCm={girthCm} zone={zone} y={y} />
        ))}
        {holes.map((hole) => (
          <circle
            key={hole.id}
            class={hole.isOld ? "hole is-old" : "hole"}
            cx={hole.aroundCm % girthCm}
            cy={y(hole.heightCm)}
            r="1.8"
          >
            <title>{hole.label}</title>
          </circle>
        ))}
        {spot !== undefined && <Spot x={spot.aroundCm % girthCm} y={y(spot.heightCm)} />}
      </svg>
      <figcaption>
        <span>your mark</span>
        <span>far side</span>
        <span>your mark</span>
      </figcaption>
    </figure>
  );
}

function HeightLines(props: { girthCm: number; y: (heightCm: number) => number; units: Units }) {
  const { girthCm, y, units } = props;
  return (
    <g class="heights">
      {heightLinesCm.map((heightCm) => (
        <g key={heightCm}>
          <line x1="0" x2={girthCm} y1={y(heightCm)} y2={y(heightCm)} />
          <text x="1" y={y(heightCm) - 1}>
            {formatQuantity(heightCm, { ...quantities.holeHeightCm, figures: 2 }, units)}
          </text>
        </g>
      ))}
    </g>
  );
}

/** Drawn thrice, a turn apart: what leaves the bark on one side comes in on the other. */
function Zone(props: {
  hole: HolePlace;
  girthCm: number;
  zone: HoleZone;
  y: (heightCm: number) => number;
}) {
  const { hole, girthCm, zone, y } = props;
  const middleCm = hole.aroundCm % girthCm;
  return (
    <g class="zone">
      {[-girthCm, 0, girthCm].map((turnCm) => (
        <rect
          key={turnCm}
          x={middleCm + turnCm - zone.sidewaysCm}
          y={y(hole.heightCm + zone.verticalCm)}
          width={2 * zone.sidewaysCm}
          height={2 * zone.verticalCm}
          rx="3"
        />
      ))}
    </g>
  );
}

function Spot({ x, y }: { x: number; y: number }) {
  return (
    <g class="spot">
      <circle cx={x} cy={y} r="3.2" />
      <path d={`M${x - 5.5} ${y}h11M${x} ${y - 5.5}v11`} />
    </g>
  );
}

/** The drawing in words. */
export function trunkWords({ holes, spot, units }: TrunkProps): string {
  const old = holes.filter(({ isOld }) => isOld).length;
  const count = `${holes.length - old} ${holes.length - old === 1 ? "tap" : "taps"} in use and ${old} old ${old === 1 ? "hole" : "holes"}`;
  const next = spot === undefined ? "no spot chosen" : `next hole ${placeWords(spot, units)}`;
  return `The bark unrolled: ${count}, ${next}`;
}

/** "72 cm around, 100 cm up". */
export function placeWords({ aroundCm, heightCm }: HolePlace, units: Units): string {
  const told = (lengthCm: number) =>
    formatQuantity(lengthCm, { ...quantities.aroundCm, figures: 3 }, units);
  return `${told(aroundCm)} around, ${told(heightCm)} up`;
}
