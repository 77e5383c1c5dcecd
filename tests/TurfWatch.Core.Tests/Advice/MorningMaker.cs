using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Advice;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>
/// A made-up morning: a sunny, dry, mild May day on a loam lawn of tall fescue in Little Rock, ten days
/// of such weather behind it and three ahead. Tests change what they speak of.
/// </summary>
internal sealed class MorningMaker
{
    public const int PastHours = 240;
    public const int HoursInAll = PastHours + 96;

    private readonly WeatherSeriesBuilder _weather;

    public MorningMaker(LocalDate? date = null, string now = "06:30")
    {
        Date = date ?? new LocalDate(2026, 5, 13);
        Lawn = new()
        {
            Place = new("72201", "Little Rock", "AR", 34.75, -92.28, "America/Chicago"),
            Grass = GrassKind.TallFescue,
        };
        Now = At(now);
        First = At("00:00") - Duration.FromHours(PastHours - 1);
        _weather = new(First, HoursInAll);
        for (var i = 0; i < HoursInAll; i++)
        {
            var hour = (First + Duration.FromHours(i)).InZone(Zone).Hour;
            var warmth = Math.Sin((hour - 9) * Math.PI / 12);
            _weather[WeatherColumn.AirTemperatureC][i] = 18 + (6 * warmth);
            _weather[WeatherColumn.RelativeHumidityPercent][i] = 60 - (20 * warmth);
            _weather[WeatherColumn.WindSpeedMS][i] = 3;
            _weather[WeatherColumn.CloudCoverPercent][i] = 20;
            _weather[WeatherColumn.PrecipitationMm][i] = 0;
            _weather[WeatherColumn.PrecipitationProbabilityPercent][i] = 0;
            Shortwave[i] = Math.Max(0, 800 * Math.Sin((hour - 6) * Math.PI / 13));
            Canopy[i] = 18 + (7 * warmth);
        }
    }

    public Lawn Lawn { get; set; }
    public LawnRecord Record { get; set; } = LawnRecord.Empty;
    public LocalDate Date { get; }
    public Instant Now { get; set; }
    public Instant First { get; }
    public DateTimeZone Zone => DateTimeZoneProviders.Tzdb["America/Chicago"];
    public ImmutableArray<Hazard> Hazards { get; set; } = [];
    public ImmutableArray<DataNote> Notes { get; set; } =
    [
        new(DataSubject.Forecast, "a service", null, DataStanding.Fresh),
        new(DataSubject.Hazards, "a service", null, DataStanding.Fresh),
    ];
    public PlaceClimate? Climate { get; set; }
    public double SpinUpDays { get; set; } = 75;
    public double HistoryCoverage { get; set; } = 0.97;
    public IReadOnlyList<SoilReading> Readings { get; set; } = [];

    public double[] Shortwave { get; } = new double[HoursInAll];
    public double[] Canopy { get; } = new double[HoursInAll];
    public double[] Soil5 { get; } = Filled(19);
    public double[] Soil10 { get; } = Filled(19);
    public double[] LeafWater { get; } = new double[HoursInAll];
    public double[] Dew { get; } = new double[HoursInAll];
    public double[] Frost { get; } = new double[HoursInAll];
    public double[] WetChance { get; } = new double[HoursInAll];
    public double[] AvailableWater { get; } = Filled(0.9);
    public double[] SoilWetness { get; } = Filled(0.8);

    public Span<double> this[WeatherColumn column] => _weather[column];

    public Instant At(string time, int dayOffset = 0) =>
        Date.PlusDays(dayOffset)
            .At(
                LocalTime.FromHourMinuteSecondTick(int.Parse(time[..2]), int.Parse(time[3..]), 0, 0)
            )
            .InZoneLeniently(Zone)
            .ToInstant();

    /// <summary>Index of the hour that ends at a local clock time of the day.</summary>
    public int Hour(int localHour, int dayOffset = 0) =>
        (int)(At("00:00", dayOffset) + Duration.FromHours(localHour) - First).TotalHours;

    /// <summary>Sets a column for the hours that end after <paramref name="from"/> up to <paramref name="to"/> o'clock.</summary>
    public MorningMaker Set(WeatherColumn column, int from, int to, double value)
    {
        for (var i = Hour(from) + 1; i <= Hour(to); i++)
        {
            _weather[column][i] = value;
        }

        return this;
    }

    public MorningMaker Set(double[] column, int from, int to, double value)
    {
        for (var i = Hour(from) + 1; i <= Hour(to); i++)
        {
            column[i] = value;
        }

        return this;
    }

    /// <summary>Dew of the night: chances of wet leaves at the ends of the hours from 6 o'clock on, 100 % before, 0 after.</summary>
    public MorningMaker DewUntil(params double[] chancesFrom6)
    {
        for (var i = Hour(-4); i < Hour(6) + chancesFrom6.Length; i++)
        {
            var at = i - Hour(6);
            WetChance[i] = at < 0 ? 100 : chancesFrom6[at];
            LeafWater[i] = Dew[i] = 0.15 * WetChance[i] / 100;
        }

        return this;
    }

    public MorningMaker Mowed(int daysAgo, double? heightCm = null)
    {
        Record = new(
            Record.Entries.Add(new(0, JournalKind.Mowed, Date.PlusDays(-daysAgo), heightCm))
        );
        return this;
    }

    public SiteConditions Site() =>
        new()
        {
            FirstHourEnd = First,
            Weather = _weather.Build(),
            ShortwaveWM2 = Shortwave,
            CanopyTemperatureC = Canopy,
            SoilTemperature5CmC = Soil5,
            SoilTemperature10CmC = Soil10,
            SoilTemperatureStdDevC = Filled(1.5),
            LeafWaterMm = LeafWater,
            DewMm = Dew,
            FrostMm = Frost,
            LeafWetnessPercent = WetChance,
            WetChancePercent = WetChance,
            Et0Mm = Filled(0.15),
            AvailableWaterFraction = AvailableWater,
            SurfaceSoilWetness = SoilWetness,
            Readings = Readings,
            SpinUpDays = SpinUpDays,
            HistoryCoverage = HistoryCoverage,
        };

    public Morning Build()
    {
        var site = Site();
        return Morning.Of(Lawn, Record, site, Weather(site), Now, Date);
    }

    public Briefing Briefing()
    {
        var site = Site();
        return MorningBriefing.Build(Lawn, Record, site, Weather(site), Now, Date);
    }

    private CellWeather Weather(SiteConditions site) =>
        new(site.Weather, Hazards, Notes) { Climate = Climate };

    public MowingAdvice Decide() => MowingDecision.Decide(Build()).Advice;

    private static double[] Filled(double value)
    {
        var column = new double[HoursInAll];
        Array.Fill(column, value);
        return column;
    }
}
