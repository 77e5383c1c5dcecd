using NodaTime;

namespace TurfWatch.Core;

public sealed partial record SiteDays
{
    private const byte Version = 1;
    private const int ColumnCount = 11;

    // °C to 0.01, rain to 0.05 mm (up to 1.6 m a day), the rest to 0.01, available water to 0.0001.
    private static readonly double[] Steps =
    [
        0.01,
        0.01,
        0.01,
        0.01,
        0.01,
        0.05,
        0.01,
        0.01,
        0.01,
        0.01,
        0.0001,
    ];

    /// <summary>The columns, in the order in which they are packed.</summary>
    private double[][] Columns =>
        [
            Soil5CmC,
            Soil10CmC,
            AirMeanC,
            AirMinC,
            AirMaxC,
            RainMm,
            Et0Mm,
            ShortwaveMJM2,
            HumidityPercent,
            WetHours,
            AvailableWater,
        ];

    /// <summary>Days of which nothing is known, to be written.</summary>
    /// <param name="first">The first day.</param>
    /// <param name="count">Number of days, 0 or more.</param>
    public static SiteDays Unknown(LocalDate first, int count)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        var columns = new double[ColumnCount][];
        for (var c = 0; c < ColumnCount; c++)
        {
            columns[c] = new double[count];
            Array.Fill(columns[c], double.NaN);
        }

        return Of(first, columns);
    }

    /// <summary>
    /// These days laid over <paramref name="below"/>, by date: where these have a value it stands, elsewhere the one
    /// below shows through; days that neither has are NaN.
    /// </summary>
    public SiteDays Over(SiteDays below)
    {
        if (below.Count == 0)
        {
            return this;
        }

        if (Count == 0)
        {
            return below;
        }

        var first = LocalDate.Min(First, below.First);
        var joined = Unknown(first, Period.DaysBetween(first, LocalDate.Max(End, below.End)));
        joined.Lay(below);
        joined.Lay(this);
        return joined;
    }

    /// <summary>The days in [<paramref name="from"/>, <paramref name="end"/>), cut to what exists; may be none.</summary>
    public SiteDays Slice(LocalDate from, LocalDate end)
    {
        var start = Math.Clamp(IndexOf(from), 0, Count);
        var length = Math.Max(0, Math.Clamp(IndexOf(end), 0, Count) - start);
        return Of(Date(start), Array.ConvertAll(Columns, c => c.AsSpan(start, length).ToArray()));
    }

    /// <summary>Bytes for the store; 22 a day.</summary>
    public byte[] Pack() => PackedDays.Pack(Version, First, Columns, Steps);

    /// <summary>Reads what <see cref="Pack"/> wrote.</summary>
    /// <exception cref="FormatException">The bytes are of another version or cut short: drop them and compute the days again.</exception>
    public static SiteDays Unpack(byte[] bytes)
    {
        var (first, columns) = PackedDays.Unpack(
            bytes,
            Version,
            Steps,
            "days of a site",
            "drop them and compute them again"
        );
        return Of(first, columns);
    }

    private static SiteDays Of(LocalDate first, double[][] c) =>
        new()
        {
            First = first,
            Soil5CmC = c[0],
            Soil10CmC = c[1],
            AirMeanC = c[2],
            AirMinC = c[3],
            AirMaxC = c[4],
            RainMm = c[5],
            Et0Mm = c[6],
            ShortwaveMJM2 = c[7],
            HumidityPercent = c[8],
            WetHours = c[9],
            AvailableWater = c[10],
        };

    /// <summary>Copies a row.</summary>
    internal void CopyRow(int index, SiteDays from, int fromIndex)
    {
        double[][] columns = Columns,
            source = from.Columns;
        for (var c = 0; c < columns.Length; c++)
        {
            columns[c][index] = source[c][fromIndex];
        }
    }

    /// <summary>Writes the known values of <paramref name="days"/> over what is here; all of them must lie within.</summary>
    internal void Lay(SiteDays days)
    {
        var offset = IndexOf(days.First);
        double[][] to = Columns,
            from = days.Columns;
        for (var c = 0; c < to.Length; c++)
        {
            for (var i = 0; i < days.Count; i++)
            {
                if (!double.IsNaN(from[c][i]))
                {
                    to[c][i + offset] = from[c][i];
                }
            }
        }
    }
}
