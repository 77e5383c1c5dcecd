using NodaTime;

namespace TurfWatch.Core;

public sealed partial record SiteDays
{
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

    private const int ColumnCount = 11;

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

    private void Lay(SiteDays days)
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
