using System.Text.Json;
using System.Xml;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>One run of a raw layer: the same value for every hour in it, or a total over it.</summary>
internal readonly record struct GridRun(Instant Start, Instant End, double Value);

/// <summary>
/// A raw layer of a gridpoint. Equal neighbouring hours come merged into one run. Values of a moment are
/// repeated over the run's hours; depths are the run's total and are split evenly over it.
/// </summary>
internal static class GridLayer
{
    /// <summary>A run longer than this is a fault; no grid reaches that far.</summary>
    private static readonly Duration LongestRun = Duration.FromDays(16);

    /// <summary>The runs of a layer in SI units, in order, or null when the layer is absent, empty, or in a unit that we do not know.</summary>
    public static List<GridRun>? Read(
        JsonElement properties,
        string name,
        NwsQuantity quantity,
        out string? fault
    )
    {
        fault = null;
        if (
            !properties.TryMember(name, out var layer)
            || layer.ValueKind != JsonValueKind.Object
            || !layer.TryMember("values", out var values)
            || values.ValueKind != JsonValueKind.Array
            || values.GetArrayLength() == 0
        )
        {
            return null;
        }

        var unit = layer.Text("uom") ?? layer.Text("unitCode");
        if (NwsUnits.To(quantity, unit) is not { } convert)
        {
            fault = $"layer {name} is in the unit '{unit}', which is not known for it";
            return null;
        }

        var runs = new List<GridRun>(values.GetArrayLength());
        foreach (var item in values.EnumerateArray())
        {
            if (
                item.ValueKind == JsonValueKind.Object
                && item.TryMember("value", out var value)
                && value.ValueKind == JsonValueKind.Number
                && Interval(item.Text("validTime")) is var (start, end)
            )
            {
                runs.Add(new(start, end, convert(value.GetDouble())));
            }
        }

        runs.Sort((a, b) => a.Start.CompareTo(b.Start));
        return runs.Count == 0 ? null : runs;
    }

    /// <summary>"2026-07-15T12:00:00+00:00/PT6H" as start and end; null when it is no such thing.</summary>
    public static (Instant Start, Instant End)? Interval(string? text)
    {
        var slash = text?.IndexOf('/') ?? -1;
        if (slash < 0)
        {
            return null;
        }

        var start = OffsetDateTimePattern.ExtendedIso.Parse(text![..slash]);
        if (!start.Success)
        {
            return null;
        }

        try
        {
            var length = Duration.FromTimeSpan(XmlConvert.ToTimeSpan(text[(slash + 1)..]));
            var from = start.Value.ToInstant();
            return length > Duration.Zero && length <= LongestRun ? (from, from + length) : null;
        }
        catch (Exception e) when (e is FormatException or OverflowException)
        {
            return null;
        }
    }

    /// <summary>Hour i covers [first + i h, first + i + 1 h): it takes the value of the run in which it begins; NaN where none is.</summary>
    public static double[] Repeat(List<GridRun> runs, Instant first, int hours)
    {
        var result = new double[hours];
        Array.Fill(result, double.NaN);
        var taken = Instant.MinValue;
        foreach (var run in runs)
        {
            // Should runs ever overlap, the earlier one stands.
            var start = Instant.Max(run.Start, taken);
            taken = Instant.Max(taken, run.End);
            var from = (int)Math.Ceiling((start - first).TotalHours);
            var to = (int)Math.Ceiling((run.End - first).TotalHours);
            for (var i = Math.Max(0, from); i < Math.Min(hours, to); i++)
            {
                result[i] = run.Value;
            }
        }

        return result;
    }

    /// <summary>Each hour takes its share of the totals of the runs that it lies in; NaN where it is not wholly covered.</summary>
    public static double[] Split(List<GridRun> runs, Instant first, int hours)
    {
        var result = new double[hours];
        var covered = new double[hours];
        var taken = Instant.MinValue;
        foreach (var run in runs)
        {
            var perHour = run.Value / (run.End - run.Start).TotalHours;
            var start = (Instant.Max(run.Start, taken) - first).TotalHours;
            var end = (run.End - first).TotalHours;
            taken = Instant.Max(taken, run.End);
            for (var i = Math.Max(0, (int)Math.Floor(start)); i < Math.Min(hours, end); i++)
            {
                var share = Math.Min(end, i + 1) - Math.Max(start, i);
                if (share > 0)
                {
                    result[i] += perHour * share;
                    covered[i] += share;
                }
            }
        }

        for (var i = 0; i < hours; i++)
        {
            if (covered[i] < 1 - 1e-6)
            {
                result[i] = double.NaN;
            }
        }

        return result;
    }
}
