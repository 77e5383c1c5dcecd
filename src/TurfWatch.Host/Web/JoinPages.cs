using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Join;
using TurfWatch.Mail;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Web;

/// <summary>
/// The web's door: one form, whose answer is the same whether or not the address is known. The limits are
/// <see cref="JoinDesk"/>'s. Programs that fill in forms are told by a field that people do not see, and by haste.
/// </summary>
internal static class JoinPages
{
    private const string Trap = "website";
    private const string Stamp = "stamp";
    private const int LongestValue = 300;

    private static readonly Duration LeastTime = Duration.FromSeconds(3);
    private static readonly Duration GoodFor = Duration.FromHours(12);

    private static readonly string[] Names =
    [
        "email",
        "zip",
        "grass",
        "overseed",
        "area",
        "height",
    ];

    public static void MapJoin(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/join", PageRoutes.Looking, Look);
        // Whoever types the address of the service alone wants in; no page of ours redirects.
        routes.MapMethods("/", PageRoutes.Looking, Look);
        routes.MapPost("/join", Ask).DisableAntiforgery();
    }

    private static ILookup<string, string> Faultless =>
        Array.Empty<string>().ToLookup(s => s, StringComparer.Ordinal);

    private static IResult Look(LinkTokens tokens, JoinOptions options, TimeProvider clock) =>
        options.Open ? Form([], Faultless, tokens, Now(clock)) : Closed();

    private static async Task<IResult> Ask(
        HttpContext context,
        LinkTokens tokens,
        JoinOptions options,
        JoinDesk desk,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (!options.Open)
        {
            return Closed();
        }

        var now = Now(clock);
        var typed = await Typed(context.Request, cancel);
        var values = Names
            .Where(typed.ContainsKey)
            .ToDictionary(n => n, n => typed[n].Trim(), StringComparer.Ordinal);
        if (typed.GetValueOrDefault(Trap, "").Length > 0)
        {
            return Taken(desk);
        }

        if (
            !tokens.TryRead(
                LinkPurpose.JoinForm,
                typed.GetValueOrDefault(Stamp, ""),
                now,
                out var at
            )
        )
        {
            return Form(
                values,
                Fault("", "The form was open for too long. Please send it once more."),
                tokens,
                now
            );
        }

        var faults = new List<string>();
        var (email, problem) = AddressRule.Check(values.GetValueOrDefault("email", ""));
        var lawn = LawnOf(values, faults);
        if (now - Instant.FromUnixTimeSeconds(at) < LeastTime)
        {
            faults.Add(
                "That was quicker than people are. Please wait a few seconds and send it once more."
            );
        }

        var byField = Fields.ByField(
            [.. problem is null ? [] : new[] { $"--email: {problem}" }, .. faults],
            NameOf
        );
        if (byField.Count > 0)
        {
            return Form(values, byField, tokens, Instant.FromUnixTimeSeconds(at));
        }

        var network = Network.Of(context.Connection.RemoteIpAddress);
        switch (await desk.AskAsync(email!, lawn, network, null, cancel))
        {
            case JoinOutcome.Taken:
                return Taken(desk);
            case JoinOutcome.Closed:
                return Closed();
            default:
                context.Response.Headers.RetryAfter = "3600";
                return Page.Show(
                    StatusCodes.Status429TooManyRequests,
                    "Too many requests",
                    "<p role=\"alert\">There were more requests to join lately than this service answers. Nothing was done; please try again in an hour.</p>"
                );
        }
    }

    private static Lawn? LawnOf(Dictionary<string, string> values, List<string> faults)
    {
        var place = ZipDirectory.Lookup(values.GetValueOrDefault("zip", ""));
        if (place.Problem is { } problem)
        {
            faults.Add($"--zip: {problem}");
        }

        var words = values
            .Where(v => v.Value.Length > 0 && v.Key is not ("email" or "zip"))
            .ToDictionary(
                v => v.Key,
                v => SpokenSetting.Word(v.Key, v.Value, UnitSystem.UsCustomary),
                StringComparer.Ordinal
            );
        // Read even where the place is not known, so that all faults are told at once.
        var known = place.Place ?? ZipDirectory.All().First();
        words.TryAdd("grass", Words.Kebab(JoinReader.Likely(known).Grass.ToString()));
        var lawn = LawnWords.Read(words, known, faults);
        return place.Place is null ? null : lawn;
    }

    private static IResult Form(
        Dictionary<string, string> values,
        ILookup<string, string> faults,
        LinkTokens tokens,
        Instant givenOut
    )
    {
        var fields = new Fields(values, faults);
        var stamp = tokens.Issue(
            LinkPurpose.JoinForm,
            givenOut.ToUnixTimeSeconds(),
            givenOut + GoodFor
        );
        return Page.Show(
            fields.Any ? StatusCodes.Status400BadRequest : StatusCodes.Status200OK,
            fields.Any ? "Not sent yet: lawn messages by mail" : "Lawn messages by mail",
            $"""
            {fields.Summary()}
            <p>Each morning: whether and when to mow, from the weather at your ZIP code. As the season turns: what it is time for. No account; each message has a link to stop them.</p>
            <form method="post" action="/join">
            {fields.Text(
                "email",
                "Email address",
                "",
                "type=\"email\" autocomplete=\"email\" required maxlength=\"254\""
            )}
            {fields.Text(
                "zip",
                "ZIP code of the lawn",
                "Five digits, United States.",
                "inputmode=\"numeric\" autocomplete=\"postal-code\" required maxlength=\"10\" pattern=\"\\s*[0-9]{5}(-[0-9]{4})?\\s*\""
            )}
            <h2>If you know it</h2>
            <p class="soft">All of this can be left as it is and changed later.</p>
            {fields.Select(
                "grass",
                "Grass",
                [("", "Not sure: take what is usual there"), .. Fields.Grass()]
            )}
            {fields.Select(
                "overseed",
                "Sown over it for winter",
                [("", "Nothing"), .. Fields.Grass(GrassSeason.Cool)]
            )}
            {fields.Text(
                "area",
                "Area",
                "For example 3000 sq ft, 280 m2 or 0.1 acre.",
                "autocomplete=\"off\" maxlength=\"40\""
            )}
            {fields.Text(
                "height",
                "Height you mow at",
                "For example 2.5 in or 6 cm.",
                "autocomplete=\"off\" maxlength=\"40\""
            )}
            <div class="trap" aria-hidden="true"><label for="{Trap}">Leave this empty</label><input id="{Trap}" name="{Trap}" tabindex="-1" autocomplete="off"></div>
            <input type="hidden" name="{Stamp}" value="{stamp}">
            <p class="send"><button type="submit">Ask for the messages</button></p>
            </form>
            <p class="soft">The address gets one letter that asks whether it wants the messages. What is kept is the address, the ZIP code and what you tell of the lawn; it is given to nobody, and you can take it all away again.</p>
            """
        );
    }

    private static IResult Taken(JoinDesk desk) =>
        Page.Told(
            "Now look into your mailbox",
            [
                $"You are not on the list yet. If the address may be written to, a letter is on its way to it: use its link{(desk.TakesAnswers ? ", or answer it with yes" : "")}.",
                "If nothing comes within some minutes, look among the unwanted mail. One letter an hour is sent to an address, and no more than three a day.",
            ]
        );

    private static IResult Closed() =>
        Page.Show(
            StatusCodes.Status403Forbidden,
            "Joining is closed",
            "<p>This service takes no requests to join at the moment, or none from this address's domain. Whoever runs it can invite you.</p>"
        );

    private static ILookup<string, string> Fault(string field, string sentence) =>
        new[] { sentence }.ToLookup(_ => field, StringComparer.Ordinal);

    private static string NameOf(string word) =>
        word switch
        {
            "email" => "Email address",
            "zip" => "ZIP code",
            "grass" => "Grass",
            "overseed" => "Sown over it",
            "area" => "Area",
            "height" => "Height",
            _ => word,
        };

    /// <summary>What was typed; nothing when the body is no form.</summary>
    internal static async Task<Dictionary<string, string>> Typed(
        HttpRequest request,
        CancellationToken cancel
    )
    {
        if (!request.HasFormContentType)
        {
            return new(StringComparer.Ordinal);
        }

        try
        {
            var form = await request.ReadFormAsync(cancel);
            return form.ToDictionary(
                f => f.Key,
                f =>
                {
                    var text = string.Join(',', f.Value.OfType<string>());
                    return text.Length > LongestValue ? text[..LongestValue] : text;
                },
                StringComparer.Ordinal
            );
        }
        catch (Exception e)
            when (e is InvalidDataException or IOException and not BadHttpRequestException)
        {
            // Parts that do not end, for example; what is too large or too slow the server answers by itself.
            return new(StringComparer.Ordinal);
        }
    }

    private static Instant Now(TimeProvider clock) => Instant.FromDateTimeOffset(clock.GetUtcNow());
}
