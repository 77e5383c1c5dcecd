using System.Text;
using System.Text.Json;

namespace TurfWatch.Fuzz;

/// <summary>Changes JSON value by value, so that it stays JSON: what the mutator of bytes seldom leaves whole.</summary>
internal static class JsonMutator
{
    private static readonly JsonDocumentOptions Lenient = new()
    {
        MaxDepth = 128,
        CommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
    };

    private static readonly JsonSerializerOptions Relaxed = new()
    {
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    private static readonly string[] Numbers =
    [
        "0",
        "-0",
        "1",
        "-1",
        "1e999",
        "-1e999",
        "\"NaN\"",
        "\"Infinity\"",
        "\"12.5\"",
        "1e308",
        "-1e308",
        "5e-324",
        "2147483647",
        "2147483648",
        "-2147483648",
        "9223372036854775807",
        "9223372036854775808",
        "-9223372036854775808",
        "9223372036854774000",
        "-9223372036854774000",
        "3600",
        "-3600",
        "253402300799",
        "253402300800",
        "-62135596800",
        "-999",
        "99999",
        "1e5",
        "-1e5",
        "60",
        "100.000001",
        "-273.16",
    ];

    private static readonly string[] Others =
    [
        "null",
        "true",
        "false",
        "[]",
        "{}",
        "\"\"",
        "[null]",
        "{\"\":null}",
        "[[[]]]",
        "\"\\u0000\\r\\n\"",
        "\"\\u202e\"",
        "\"../..\"",
        "\"9999-12-31T23:59:59-18:00\"",
        "\"0001-01-01T00:00:00Z\"",
        "\"9999-12-31T23:59:59Z/P9999Y\"",
        "\"2026-03-01T06:00:00Z/-PT1H\"",
        "\"999912\"",
        "\"9999123123\"",
        "\"99991231\"",
        "\"00010101\"",
    ];

    /// <summary>A changed copy; null when it is no JSON.</summary>
    public static byte[]? Change(Dice dice, byte[] json)
    {
        try
        {
            using var document = JsonDocument.Parse(json, Lenient);
            var count = Count(document.RootElement);
            var edits = new HashSet<int>();
            for (var n = 1 + dice.Below(4); n > 0; n--)
            {
                edits.Add(dice.Below(count));
            }

            var text = new StringBuilder(json.Length);
            var at = 0;
            Write(document.RootElement, text, dice, edits, ref at);
            return Encoding.UTF8.GetBytes(text.ToString());
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            return null; // Also for halves of surrogate pairs, which are no text.
        }
    }

    private static int Count(JsonElement element) =>
        1
        + element.ValueKind switch
        {
            JsonValueKind.Array => element.EnumerateArray().Sum(Count),
            JsonValueKind.Object => element.EnumerateObject().Sum(p => Count(p.Value)),
            _ => 0,
        };

    private static void Write(
        JsonElement element,
        StringBuilder text,
        Dice dice,
        HashSet<int> edits,
        ref int at
    )
    {
        if (edits.Contains(at++))
        {
            at += Count(element) - 1;
            text.Append(Other(element, dice));
            return;
        }

        switch (element.ValueKind)
        {
            case JsonValueKind.Array:
                text.Append('[');
                var first = true;
                foreach (var item in element.EnumerateArray())
                {
                    text.Append(first ? "" : ",");
                    first = false;
                    Write(item, text, dice, edits, ref at);
                }

                text.Append(']');
                break;
            case JsonValueKind.Object:
                text.Append('{');
                first = true;
                foreach (var member in element.EnumerateObject())
                {
                    text.Append(first ? "" : ",");
                    first = false;
                    text.Append(JsonSerializer.Serialize(member.Name, Relaxed)).Append(':');
                    Write(member.Value, text, dice, edits, ref at);
                }

                text.Append('}');
                break;
            default:
                text.Append(element.GetRawText());
                break;
        }
    }

    private static string Other(JsonElement element, Dice dice)
    {
        var raw = element.GetRawText();
        return (element.ValueKind, dice.Below(8)) switch
        {
            (_, 0) => dice.Of(Others),
            (_, 1) when dice.OneIn(10) => Nested(raw, dice.Of([2, 20, 60])),
            (JsonValueKind.Number, < 6) => dice.Of(Numbers),
            (JsonValueKind.Number, _) => $"{raw.TrimEnd('.')}{dice.Below(10)}",
            (JsonValueKind.Null, _) => dice.OneIn(2) ? dice.Of(Numbers) : dice.Of(Others),
            (JsonValueKind.String, < 6) => JsonSerializer.Serialize(
                Changed(element.GetString()!, dice),
                Relaxed
            ),
            (JsonValueKind.Array, < 4) => Items(element, dice),
            (JsonValueKind.Object, < 4) => Members(element, dice),
            _ => dice.OneIn(2) ? dice.Of(Numbers) : raw,
        };
    }

    private static string Nested(string raw, int times) =>
        string.Concat(Enumerable.Repeat("[", times))
        + raw
        + string.Concat(Enumerable.Repeat("]", times));

    private static string Items(JsonElement array, Dice dice)
    {
        var items = array.EnumerateArray().Select(i => i.GetRawText()).ToList();
        if (items.Count == 0)
        {
            return dice.Of(Others);
        }

        var one = dice.Below(items.Count);
        switch (dice.Below(4))
        {
            case 0:
                items.RemoveAt(one);
                break;
            case 1:
                items.InsertRange(one, Enumerable.Repeat(items[one], dice.Of([1, 3, 50])));
                break;
            case 2:
                items[one] = "null";
                break;
            default:
                items.Reverse();
                break;
        }

        return $"[{string.Join(',', items)}]";
    }

    private static string Members(JsonElement thing, Dice dice)
    {
        var members = thing
            .EnumerateObject()
            .Select(m => (m.Name, Raw: m.Value.GetRawText()))
            .ToList();
        if (members.Count == 0)
        {
            return dice.Of(Others);
        }

        var (one, other) = (dice.Below(members.Count), dice.Below(members.Count));
        switch (dice.Below(4))
        {
            case 0:
                members.RemoveAt(one);
                break;
            case 1:
                members.Add(members[one]);
                break;
            case 2:
                members[one] = (members[one].Name, members[other].Raw);
                break;
            default:
                members[one] = (members[other].Name, members[one].Raw);
                break;
        }

        return $"{{{string.Join(',', members.Select(m => $"{JsonSerializer.Serialize(m.Name, Relaxed)}:{m.Raw}"))}}}";
    }

    private static string Changed(string text, Dice dice)
    {
        if (text.Length == 0)
        {
            return "x";
        }

        var at = dice.Below(text.Length);
        return dice.Below(6) switch
        {
            0 => text.Remove(at, 1),
            1 => text[..at] + (char)('0' + dice.Below(10)) + text[(at + 1)..],
            2 => text[..at],
            3 => text.Insert(at, dice.Of(["\0", "\r\n", "\u202e", "/", ":", "%2f", "é", "-", "9"])),
            4 => string.Concat(Enumerable.Repeat(text, dice.Of([2, 10, 200]))),
            _ => text.ToUpperInvariant(),
        };
    }
}
