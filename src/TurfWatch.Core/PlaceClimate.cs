using System.Buffers.Binary;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>One cold season, 1 July to 30 June, so that a first freeze in January is not taken for a spring one.</summary>
/// <param name="StartYear">Year of the July.</param>
/// <param name="FirstFreeze">First day whose minimum was 0 °C or less; null when there was none.</param>
/// <param name="LastFreeze">The last such day.</param>
public sealed record ColdSeason(int StartYear, LocalDate? FirstFreeze, LocalDate? LastFreeze);

/// <summary>
/// What is usual at a place on each day of the year, from past years. Made by <see cref="PlaceClimateBuilder"/>.
/// The lists have 366 entries, in the order of a leap year; see <see cref="IndexOf"/>.
/// </summary>
public sealed record PlaceClimate
{
    /// <summary>Days of a leap year: 29 February has a place of its own.</summary>
    public const int Days = 366;

    private const byte Version = 1;
    private const short Unknown = short.MinValue;
    private const int HeadBytes = 7;
    private const int SeasonBytes = 6;
    private const int Tables = 4;

    // Two decimals in two bytes: ±327 °C, and 327 mm a day.
    private const double Scale = 100;

    /// <summary>The first year.</summary>
    public required int FirstYear { get; init; }

    /// <summary>The last year.</summary>
    public required int LastYear { get; init; }

    /// <summary>How many of those years were known.</summary>
    public required int Years { get; init; }

    /// <summary>Usual mean temperature of the day [°C].</summary>
    public required IReadOnlyList<double> MeanC { get; init; }

    /// <summary>Usual minimum [°C].</summary>
    public required IReadOnlyList<double> MinC { get; init; }

    /// <summary>Usual maximum [°C].</summary>
    public required IReadOnlyList<double> MaxC { get; init; }

    /// <summary>Mean rain and melted snow of the day [mm].</summary>
    public required IReadOnlyList<double> RainMm { get; init; }

    /// <summary>The cold seasons that were known from end to end, in order.</summary>
    public required IReadOnlyList<ColdSeason> ColdSeasons { get; init; }

    /// <summary>Place of a date's day and month in the lists, 0 to 365.</summary>
    public static int IndexOf(LocalDate date) =>
        new LocalDate(2000, date.Month, date.Day).DayOfYear - 1;

    /// <summary>Bytes for the store; about 3 kB.</summary>
    public byte[] Pack()
    {
        var bytes = new byte[HeadBytes + (Tables * 2 * Days) + (SeasonBytes * ColdSeasons.Count)];
        bytes[0] = Version;
        var at = 1;
        Put((short)FirstYear);
        Put((short)LastYear);
        bytes[at++] = (byte)Years;
        bytes[at++] = (byte)ColdSeasons.Count;
        foreach (var table in (IReadOnlyList<double>[])[MeanC, MinC, MaxC, RainMm])
        {
            foreach (var value in table)
            {
                Put(double.IsNaN(value) ? Unknown : (short)Math.Round(value * Scale));
            }
        }

        foreach (var season in ColdSeasons)
        {
            Put((short)season.StartYear);
            Put(DayIn(season.StartYear, season.FirstFreeze));
            Put(DayIn(season.StartYear, season.LastFreeze));
        }

        return bytes;

        void Put(short value)
        {
            BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(at), value);
            at += 2;
        }
    }

    /// <summary>Reads what <see cref="Pack"/> wrote.</summary>
    /// <exception cref="FormatException">The bytes are of another version or cut short: drop them and ask the service again.</exception>
    public static PlaceClimate Unpack(byte[] bytes)
    {
        if (
            bytes.Length < HeadBytes
            || bytes[0] != Version
            || bytes.Length != HeadBytes + (Tables * 2 * Days) + (SeasonBytes * bytes[6])
        )
        {
            throw new FormatException(
                $"climate of {bytes.Length} bytes, version {(bytes.Length > 0 ? bytes[0] : -1)}; this program reads version {Version}: drop it and ask for it again"
            );
        }

        var at = HeadBytes;
        return new PlaceClimate
        {
            FirstYear = BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan(1)),
            LastYear = BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan(3)),
            Years = bytes[5],
            MeanC = Table(),
            MinC = Table(),
            MaxC = Table(),
            RainMm = Table(),
            ColdSeasons = [.. Enumerable.Range(0, bytes[6]).Select(_ => Season())],
        };

        short Get()
        {
            var value = BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan(at));
            at += 2;
            return value;
        }

        double[] Table()
        {
            var table = new double[Days];
            for (var i = 0; i < Days; i++)
            {
                var value = Get();
                table[i] = value == Unknown ? double.NaN : value / Scale;
            }

            return table;
        }

        ColdSeason Season()
        {
            int year = Get();
            return new(year, Date(year, Get()), Date(year, Get()));
        }
    }

    private static short DayIn(int startYear, LocalDate? date) =>
        date is { } day
            ? (short)Period.DaysBetween(PlaceClimateBuilder.SeasonStart(startYear), day)
            : Unknown;

    private static LocalDate? Date(int startYear, short day) =>
        day == Unknown ? null : PlaceClimateBuilder.SeasonStart(startYear).PlusDays(day);
}
