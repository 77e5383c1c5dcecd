using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>People who do not exist, with a lawn in a town that does not exist.</summary>
/// <param name="Key">Name of its folder.</param>
/// <param name="Story">Who they are, in a sentence.</param>
/// <param name="Email">Their address.</param>
/// <param name="Lawn">Their lawn.</param>
/// <param name="ElevationM">Height of the town [m].</param>
/// <param name="Climate">Its climate.</param>
/// <param name="Diligence">How often they mow when told that they can [0–1].</param>
/// <param name="Seed">Seed of their chance.</param>
internal sealed record DemoHousehold(
    string Key,
    string Story,
    string Email,
    Lawn Lawn,
    double ElevationM,
    InventedClimate Climate,
    double Diligence,
    int Seed
)
{
    // The ZIP codes are of a range that the Postal Service has not given out.
    public static DemoHousehold[] All { get; } =
    [
        new(
            "ocotillo-bend",
            "The Varelas of Ocotillo Bend water a small bermudagrass lawn and sow it with ryegrass each fall, so that it stays green through the winter. They look at their mail at half past eight and mow on most days that suit, but never late.",
            "varela@example.org",
            new Lawn
            {
                Name = "Front lawn",
                Place = new Place("00001", "Ocotillo Bend", "AZ", 32.6, -111.4, "America/Phoenix"),
                Grass = GrassKind.Bermuda,
                Overseed = GrassKind.PerennialRyegrass,
                AreaM2 = 140,
                Soil = SoilTexture.SandyLoam,
                Irrigated = true,
                SprinklerMmH = 15,
                WaterDays = [IsoDayOfWeek.Tuesday, IsoDayOfWeek.Friday],
                Fertilizer = new FertilizerGrade(24, 0, 11),
                MessageTime = new LocalTime(8, 30),
                MowFrom = new LocalTime(6, 0),
                MowUntil = new LocalTime(19, 0),
            },
            480,
            InventedClimate.Desert,
            0.85,
            11
        ),
        new(
            "cane-ford",
            "Rosalind Pryor of Cane Ford has a big tall-fescue lawn under a few oaks, never watered. She mows when she can, Sundays excepted.",
            "rosalind@example.org",
            new Lawn
            {
                Name = "The lawn",
                Place = new Place("00002", "Cane Ford", "NC", 35.8, -79.6, "America/New_York"),
                Grass = GrassKind.TallFescue,
                AreaM2 = 900,
                Soil = SoilTexture.ClayLoam,
                Shade = Shade.Partial,
                Pets = true,
                SoilTest = new SoilTest
                {
                    Date = new LocalDate(2025, 3, 14),
                    Ph = 5.6,
                    PhosphorusMgKg = 18,
                    PotassiumMgKg = 95,
                },
                MessageTime = new LocalTime(6, 30),
                MowFrom = new LocalTime(8, 0),
                MowUntil = new LocalTime(20, 0),
                MowDays =
                [
                    IsoDayOfWeek.Monday,
                    IsoDayOfWeek.Tuesday,
                    IsoDayOfWeek.Wednesday,
                    IsoDayOfWeek.Thursday,
                    IsoDayOfWeek.Friday,
                    IsoDayOfWeek.Saturday,
                ],
                MowingTime = Duration.FromHours(2),
            },
            180,
            InventedClimate.HumidSouth,
            0.75,
            22
        ),
        new(
            "birch-landing",
            "The Haugens of Birch Landing keep a Kentucky-bluegrass lawn that sleeps under snow from November on. They think in centimetres, read their mail after breakfast, and are free to mow on four days of the week.",
            "haugen@example.org",
            new Lawn
            {
                Name = "Yard",
                Place = new Place("00003", "Birch Landing", "MN", 45.4, -93.9, "America/Chicago"),
                Grass = GrassKind.KentuckyBluegrass,
                AreaM2 = 520,
                Soil = SoilTexture.Loam,
                Fertilizer = new FertilizerGrade(30, 0, 6),
                DigestDay = IsoDayOfWeek.Sunday,
                MessageTime = new LocalTime(8, 45),
                MowFrom = new LocalTime(8, 0),
                MowUntil = new LocalTime(20, 30),
                MowDays =
                [
                    IsoDayOfWeek.Tuesday,
                    IsoDayOfWeek.Thursday,
                    IsoDayOfWeek.Saturday,
                    IsoDayOfWeek.Sunday,
                ],
                Units = UnitSystem.Metric,
            },
            290,
            InventedClimate.North,
            0.8,
            34
        ),
    ];
}
